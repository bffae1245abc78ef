#include <algorithm>

#include "oventide/journal.hpp"

namespace oventide::journal {
namespace {

/// What each kind of event may not contradict.
class Objector {
public:
    Objector(const Journal& journal, const clock::Zone& zone, Instant now)
        : journal_(journal), zone_(zone), now_(now), standing_(journal.standing()) {}

    using Answer = std::optional<Trouble>;

    Answer operator()(const Started& e) const {
        if (e.at > now_) return still_to_come(e.at);
        if (const auto other = find<Started>(e.step)) return already(e.step, "started", *other);
        const auto finished = find<Finished>(e.step);
        if (finished && finished->at < e.at) return order(e.step, "finished", *finished, "it cannot start after that");
        return std::nullopt;
    }

    Answer operator()(const Finished& e) const {
        if (e.at > now_) return still_to_come(e.at);
        if (const auto other = find<Finished>(e.step)) return already(e.step, "finished", *other);
        const auto started = find<Started>(e.step);
        if (started && e.at < started->at) return order(e.step, "started", *started, "it cannot finish before that");
        return std::nullopt;
    }

    Answer operator()(const WillEnd& e) const {
        if (const auto finished = find<Finished>(e.step)) return already(e.step, "finished", *finished);
        const auto started = find<Started>(e.step);
        if (started && e.at < started->at) return order(e.step, "started", *started, "it cannot end before that");
        return std::nullopt;
    }

    Answer operator()(const Probe& e) const {
        if (e.at > now_) return still_to_come(e.at);
        return std::nullopt;
    }

    Answer operator()(const SpreadOut& e) const {
        if (const auto finished = find<Finished>(e.step)) return already(e.step, "finished", *finished);
        if (e.at > now_) return still_to_come(e.at);
        const auto started = find<Started>(e.step);
        if (started && e.at < started->at) return order(e.step, "started", *started, "it cannot be spread before that");
        return std::nullopt;
    }

    Answer operator()(const Broken& e) const { return lasts_backwards(e.at, e.until); }
    Answer operator()(const Left& e) const { return lasts_backwards(e.at, e.until); }

    Answer operator()(const Stays& e) const { return lasts_backwards(e.at, e.until); }

    Answer operator()(const Confirmed& e) const { return no_entry(e.number); }

    Answer operator()(const TakenBack& e) const {
        if (const auto missing = no_entry(e.number)) return missing;
        const auto entry = std::ranges::find(journal_.entries, e.number, &Entry::number);
        if (!std::holds_alternative<Published>(entry->event)) return std::nullopt;
        return refused("entry " + std::to_string(e.number) + " is a published timetable",
                       "publish another one; the last one counts");
    }

    Answer operator()(const Published&) const { return std::nullopt; }
    Answer operator()(const Mended&) const { return std::nullopt; }
    Answer operator()(const Arrived&) const { return std::nullopt; }
    Answer operator()(const PickupMoved&) const { return std::nullopt; }

private:
    /// There is none that counts.
    Answer no_entry(std::int32_t number) const {
        const auto entry = std::ranges::find(journal_.entries, number, &Entry::number);
        const std::string name = "entry " + std::to_string(number);
        if (entry == journal_.entries.end())
            return refused("there is no " + name, "look at the journal for its number");
        if (std::holds_alternative<TakenBack>(entry->event))
            return refused(name + " takes another entry back", "record again what it took back");
        const auto stands = [&](const Entry* other) { return other->number == number; };
        if (std::ranges::none_of(standing_, stands))
            return refused(name + " has been taken back already", "nothing to do");
        return std::nullopt;
    }

    struct Said {
        std::int32_t number;
        Instant at;
    };

    template <class Kind>
    std::optional<Said> find(const std::string& step) const {
        for (const Entry* entry : standing_) {
            const Kind* event = std::get_if<Kind>(&entry->event);
            if (event != nullptr && event->step == step) return Said{entry->number, event->at};
        }
        return std::nullopt;
    }

    static Trouble refused(std::string message, std::string remedy) {
        return {Trouble::Kind::refused, std::move(message), std::move(remedy), 0};
    }

    /// With the day where it is not today's.
    std::string at_text(Instant at) const {
        const clock::LocalTime local = zone_.local(at);
        const std::string day = clock::date_text(local);
        const bool today = day == clock::date_text(zone_.local(now_));
        return clock::clock_text(local) + (today ? "" : " on " + day);
    }

    std::string said_text(const std::string& step, const char* what, const Said& said) const {
        return step + " " + what + " at " + at_text(said.at) + ", says entry " + std::to_string(said.number);
    }

    Trouble already(const std::string& step, const char* what, const Said& said) const {
        return refused(said_text(step, what, said),
                       "take entry " + std::to_string(said.number) + " back first if it is wrong");
    }

    Trouble order(const std::string& step, const char* what, const Said& said, const std::string& so) const {
        return refused(said_text(step, what, said) + "; " + so,
                       "check the time, or take entry " + std::to_string(said.number) + " back first if it is wrong");
    }

    Trouble still_to_come(Instant at) const {
        return refused(at_text(at) + " is still to come, and it is " + at_text(now_) + " now",
                       "record it once it has happened");
    }

    Answer lasts_backwards(Instant at, const std::optional<Instant>& until) const {
        if (!until || *until > at) return std::nullopt;
        return refused("it would be over at " + at_text(*until) + " before it begins at " + at_text(at),
                       "check both times");
    }

    const Journal& journal_;
    const clock::Zone& zone_;
    Instant now_;
    std::vector<const Entry*> standing_;
};

}  // namespace

std::optional<Trouble> objection(const Journal& journal, const clock::Zone& zone, Instant now, const Event& event) {
    return std::visit(Objector(journal, zone, now), event);
}

}  // namespace oventide::journal
