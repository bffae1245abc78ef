#include "replan/ground.hpp"

#include <algorithm>
#include <limits>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

namespace oventide::replan {
namespace {

constexpr std::int32_t kNone = std::numeric_limits<std::int32_t>::max();

/// When equipment broke or was mended, or somebody left or came; absent for all else.
struct Turning {
    std::optional<Instant> operator()(const journal::Broken& event) const { return event.at; }
    std::optional<Instant> operator()(const journal::Mended& event) const { return event.at; }
    std::optional<Instant> operator()(const journal::Left& event) const { return event.at; }
    std::optional<Instant> operator()(const journal::Arrived& event) const { return event.at; }
    template <class Event>
    std::optional<Instant> operator()(const Event&) const {
        return std::nullopt;
    }
};

/// Such turnings by when they happened, whatever was entered first, and before all else, which has nothing to do with
/// them.
std::vector<const journal::Entry*> as_it_happened(const journal::Journal& journal) {
    std::vector<std::pair<Instant, const journal::Entry*>> entries;
    for (const journal::Entry& entry : journal.entries)
        entries.emplace_back(std::visit(Turning{}, entry.event).value_or(Instant::max()), &entry);
    std::ranges::stable_sort(entries, {}, [](const auto& one) { return one.first; });
    std::vector<const journal::Entry*> sorted;
    for (const auto& [at, entry] : entries) sorted.push_back(entry);
    return sorted;
}

/// Goes through the journal, entry by entry.
class Reader {
public:
    /// The two last that were published; 0: there was none.
    Reader(std::int32_t before, std::int32_t published) : before_(before), published_(published) {}

    void take(const journal::Entry& entry) {
        entry_ = entry.number;
        std::visit(*this, entry.event);
    }
    std::int32_t first_void() const { return first_void_; }

    void operator()(const journal::TakenBack& event) { is_void(event.number); }
    void operator()(const journal::Broken& event) { begins(broken_[event.equipment], event.until); }
    void operator()(const journal::Mended& event) { ends(broken_[event.equipment], event.at); }
    void operator()(const journal::Left& event) { begins(away_[event.person], event.until); }
    void operator()(const journal::Arrived& event) { ends(away_[event.person], event.at); }
    /// With more hours what was announced before may be kept after all.
    void operator()(const journal::Stays&) {
        if (before_ > 0) is_void(before_ + 1);
    }
    /// What is ready sooner than was feared.
    void operator()(const journal::WillEnd& event) {
        const auto [feared, first] = feared_.try_emplace(event.step, Feared{entry_, event.at});
        if (first) return;
        is_ready(event.step, event.at);
        feared->second = {entry_, event.at};
    }
    void operator()(const journal::Finished& event) { is_ready(event.step, event.at); }
    template <class Event>
    void operator()(const Event&) {}

private:
    struct Feared {
        std::int32_t entry = kNone;
        Instant at;
    };
    struct Gap {
        std::int32_t entry = kNone;
        std::optional<Instant> until;
    };

    void begins(Gap& gap, const std::optional<Instant>& until) const { gap = {entry_, until}; }
    void ends(Gap& gap, Instant at) {
        if (gap.entry != kNone && (!gap.until || at < *gap.until)) is_void(gap.entry);
        gap = {};
    }
    void is_ready(const std::string& step, Instant at) {
        const auto feared = feared_.find(step);
        if (feared != feared_.end() && at < feared->second.at) is_void(feared->second.entry);
    }
    void is_void(std::int32_t number) {
        if (entry_ > published_ && number < published_) first_void_ = std::min(first_void_, number);
    }

    std::int32_t before_;
    std::int32_t published_;
    std::int32_t entry_ = 0;
    std::int32_t first_void_ = kNone;
    std::map<std::string, Gap> broken_;
    std::map<std::string, Gap> away_;
    std::map<std::string, Feared> feared_;  ///< by step: when it was to be ready, as was last noted
};

}  // namespace

const journal::Published* published_before_void_news(const journal::Journal& journal) {
    std::int32_t last_but_one = 0;
    std::int32_t last = 0;
    for (const journal::Entry& entry : journal.entries)
        if (std::holds_alternative<journal::Published>(entry.event)) last_but_one = std::exchange(last, entry.number);
    Reader reader(last_but_one, last);
    for (const journal::Entry* entry : as_it_happened(journal)) reader.take(*entry);
    const journal::Published* before = nullptr;
    if (reader.first_void() == kNone) return before;
    for (const journal::Entry& entry : journal.entries)
        if (const auto* published = std::get_if<journal::Published>(&entry.event);
            published != nullptr && entry.number < reader.first_void())
            before = published;
    return before;
}

}  // namespace oventide::replan
