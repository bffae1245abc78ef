#include <cstdlib>

#include "journal/text.hpp"
#include "oventide/journal.hpp"

namespace oventide::journal {
namespace {

/// "21.5C" of 21,500 with unit "C".
std::string in_thousands(std::int64_t value, const char* unit) {
    const std::int64_t size = std::abs(value);
    std::string text = (value < 0 ? "-" : "") + std::to_string(size / 1000);
    if (const std::int64_t rest = size % 1000; rest != 0) {
        std::string digits = std::to_string(1000 + rest).substr(1);
        digits.erase(digits.find_last_not_of('0') + 1);
        text += "." + digits;
    }
    return text + unit;
}

std::string degrees_text(MilliCelsius temperature) { return in_thousands(temperature, "C"); }

/// Everything of an event behind the entry's number and time.
struct Writer {
    const clock::Zone& zone;

    std::string time(Instant at) const { return clock::iso_text(zone, at); }

    std::string plain(const char* kind, const std::string& subject, Instant at) const {
        return std::string(kind) + " " + quoted(subject) + " at " + time(at);
    }

    std::string until(const std::optional<Instant>& at) const { return at ? " until " + time(*at) : ""; }

    /// Names come in pairs with a word, so that somebody may be called "on".
    std::string row(const PublishedStep& step) const {
        std::string text =
            "\n  " + quoted(step.id) + " " + time(step.start) + " " + time(step.ready) + " " + time(step.end);
        for (const std::string& name : step.who) text += " by " + quoted(name);
        for (const std::string& name : step.uses) text += " on " + quoted(name);
        return text;
    }

    std::string operator()(const Published& e) const {
        std::string text = "published " + quoted(e.fingerprint);
        for (const PublishedStep& step : e.steps) text += row(step);
        for (const PublishedTurn& turn : e.turns)
            text += "\n  oven " + quoted(turn.oven) + " " + time(turn.at) + " " +
                    (turn.temperature ? degrees_text(*turn.temperature) : "off");
        for (const PublishedWashing& one : e.washing)
            text += "\n  wash " + quoted(one.step) + " " + time(one.from) + " " + time(one.to) + " " + quoted(one.who);
        return text;
    }
    std::string operator()(const Started& e) const { return plain("started", e.step, e.at); }
    std::string operator()(const Finished& e) const { return plain("finished", e.step, e.at); }
    std::string operator()(const WillEnd& e) const { return plain("will-end", e.step, e.at); }
    std::string operator()(const Probe& e) const {
        return plain("probe", e.step, e.at) + " " + degrees_text(e.temperature);
    }
    std::string operator()(const SpreadOut& e) const {
        return plain("spread", e.step, e.at) + " " + in_thousands(e.depth, "mm");
    }
    std::string operator()(const Broken& e) const { return plain("broken", e.equipment, e.at) + until(e.until); }
    std::string operator()(const Mended& e) const { return plain("mended", e.equipment, e.at); }
    std::string operator()(const Left& e) const { return plain("left", e.person, e.at) + until(e.until); }
    std::string operator()(const Arrived& e) const { return plain("arrived", e.person, e.at); }
    std::string operator()(const Stays& e) const { return plain("stays", e.person, e.at) + until(e.until); }
    std::string operator()(const PickupMoved& e) const { return plain("pickup", e.order, e.at); }
    std::string operator()(const Confirmed& e) const { return "confirmed " + std::to_string(e.number); }
    std::string operator()(const TakenBack& e) const { return "taken-back " + std::to_string(e.number); }
};

}  // namespace

std::string header_text(const std::string& timezone) {
    return sealed(std::string(kMagic) + std::to_string(kVersion) + " " + quoted(timezone));
}

std::string entry_text(const Entry& entry, const clock::Zone& zone) {
    return sealed(std::to_string(entry.number) + " " + clock::iso_text(zone, entry.recorded) + " " +
                  std::visit(Writer{zone}, entry.event));
}

}  // namespace oventide::journal
