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
    /// Of what was published, by number.
    explicit Reader(std::vector<const journal::Entry*> announcements) : announcements_(std::move(announcements)) {
        if (!announcements_.empty()) published_ = announcements_.back()->number;
        if (announcements_.size() > 1) before_ = announcements_[announcements_.size() - 2]->number;
    }

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
    /// What is measured, or done about it, replaces what was expected by the reading before.
    void operator()(const journal::Probe& event) { is_measured(event.step); }
    void operator()(const journal::SpreadOut& event) { is_measured(event.step); }
    void operator()(const journal::Started& event) {
        was_thought_later(event.step, event.at, &journal::PublishedStep::start);
    }
    void operator()(const journal::Finished& event) {
        is_ready(event.step, event.at);
        was_thought_later(event.step, event.at, &journal::PublishedStep::ready);
    }
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

    void begins(Gap& gap, const std::optional<Instant>& until) {
        if (gap.entry != kNone && until && (!gap.until || *until < *gap.until)) is_void(gap.entry);
        gap = {entry_, until};
    }
    void ends(Gap& gap, Instant at) {
        if (gap.entry != kNone && (!gap.until || at < *gap.until)) is_void(gap.entry);
        gap = {};
    }
    void is_ready(const std::string& step, Instant at) {
        const auto feared = feared_.find(step);
        if (feared != feared_.end() && at < feared->second.at) is_void(feared->second.entry);
    }
    void is_measured(const std::string& step) {
        const auto [before, first] = measured_.try_emplace(step, entry_);
        if (first) return;
        is_void(before->second);
        before->second = entry_;
    }
    /// What had happened already, and nobody had noted yet, was announced for later: that was for nothing.
    void was_thought_later(const std::string& step, Instant at, Instant journal::PublishedStep::*told) {
        if (entry_ <= published_) return;
        const auto is_since = [&](const journal::Entry* entry) { return entry->recorded > at; };
        const auto first = std::ranges::find_if(announcements_, is_since);
        if (first == announcements_.end()) return;
        for (const journal::PublishedStep& row : std::get<journal::Published>((*first)->event).steps)
            if (row.id == step && row.*told > at) is_void((*first)->number);
    }
    void is_void(std::int32_t number) {
        if (entry_ > published_ && number <= published_) first_void_ = std::min(first_void_, number);
    }

    std::vector<const journal::Entry*> announcements_;
    std::int32_t before_ = 0;  ///< the last but one
    std::int32_t published_ = 0;
    std::int32_t entry_ = 0;
    std::int32_t first_void_ = kNone;
    std::map<std::string, Gap> broken_;
    std::map<std::string, Gap> away_;
    std::map<std::string, std::int32_t> measured_;  ///< by step: the last reading, or what was done about it
    std::map<std::string, Feared> feared_;          ///< by step: when it was to be ready, as was last noted
};

}  // namespace

const journal::Published* published_before_void_news(const journal::Journal& journal) {
    std::vector<const journal::Entry*> announcements;
    for (const journal::Entry& entry : journal.entries)
        if (std::holds_alternative<journal::Published>(entry.event)) announcements.push_back(&entry);
    Reader reader(announcements);
    for (const journal::Entry* entry : as_it_happened(journal)) reader.take(*entry);
    const journal::Published* before = nullptr;
    if (reader.first_void() == kNone) return before;
    for (const journal::Entry* entry : announcements)
        if (entry->number < reader.first_void()) before = &std::get<journal::Published>(entry->event);
    return before;
}

}  // namespace oventide::replan
