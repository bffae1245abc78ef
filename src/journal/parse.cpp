#include <algorithm>
#include <charconv>
#include <chrono>

#include "journal/text.hpp"
#include "oventide/journal.hpp"

namespace oventide::journal {
namespace {

using Words = std::vector<std::string>;

// ---------------------------------------------------------------------------------------------------- words

template <class Number>
std::optional<Number> number_of(std::string_view text) {
    Number number{};
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (error != std::errc{} || end != text.data() + text.size()) return std::nullopt;
    return number;
}

/// Digits alone, so that no sign slips in.
std::optional<int> digits_of(std::string_view text) {
    if (text.find_first_not_of("0123456789") != std::string_view::npos) return std::nullopt;
    return number_of<int>(text);
}

/// "2026-10-03T05:10+01:00".
std::optional<Instant> time_of(std::string_view text) {
    if (text.size() != 22 || text[4] != '-' || text[7] != '-' || text[10] != 'T' || text[13] != ':' ||
        text[19] != ':') {
        return std::nullopt;
    }
    if (text[16] != '+' && text[16] != '-') return std::nullopt;
    int value[7];
    const std::string_view parts[7] = {text.substr(0, 4),  text.substr(5, 2),  text.substr(8, 2), text.substr(11, 2),
                                       text.substr(14, 2), text.substr(17, 2), text.substr(20, 2)};
    for (int i = 0; i < 7; ++i) {
        const auto digits = digits_of(parts[i]);
        if (!digits) return std::nullopt;
        value[i] = *digits;
    }
    const std::chrono::year_month_day date{std::chrono::year(value[0]),
                                           std::chrono::month(static_cast<unsigned>(value[1])),
                                           std::chrono::day(static_cast<unsigned>(value[2]))};
    if (!date.ok() || value[3] > 23 || value[4] > 59 || value[6] > 59) return std::nullopt;
    const Minutes offset{(text[16] == '-' ? -1 : 1) * (value[5] * 60 + value[6])};
    return Instant(std::chrono::sys_days(date)) + Minutes{value[3] * 60 + value[4]} - offset;
}

/// "47.5C" with unit "C", in thousandths.
std::optional<std::int64_t> thousandths_of(std::string_view text, std::string_view unit) {
    if (!text.ends_with(unit)) return std::nullopt;
    text.remove_suffix(unit.size());
    const bool negative = text.starts_with('-');
    if (negative) text.remove_prefix(1);
    const std::size_t point = std::min(text.find('.'), text.size());
    std::string digits(text.substr(0, point));
    std::string rest(point < text.size() ? text.substr(point + 1) : "");
    if (digits.empty() || rest.size() > 3 || (point < text.size() && rest.empty())) return std::nullopt;
    rest.resize(3, '0');
    const auto value = digits_of(digits + rest);
    if (!value) return std::nullopt;
    return negative ? -*value : *value;
}

std::optional<MilliCelsius> degrees_of(std::string_view text) { return thousandths_of(text, "C"); }

// ---------------------------------------------------------------------------------------------------- events

/// "SUBJECT at TIME" of words 3 to 5, and how many more words may follow.
struct Occurrence {
    std::string subject;
    Instant at;
};

std::optional<Occurrence> occurrence_of(const Words& words, std::size_t most_words) {
    if (words.size() < 6 || words.size() > most_words || words[4] != "at") return std::nullopt;
    const auto at = time_of(words[5]);
    if (!at) return std::nullopt;
    return Occurrence{words[3], *at};
}

template <class Plain>
std::optional<Event> plain_event(const Words& words) {
    const auto occurrence = occurrence_of(words, 6);
    if (!occurrence) return std::nullopt;
    return Plain{occurrence->subject, occurrence->at};
}

template <class Lasting>
std::optional<Event> lasting_event(const Words& words) {
    const auto occurrence = occurrence_of(words, 8);
    if (!occurrence || words.size() == 7) return std::nullopt;
    Lasting event{occurrence->subject, occurrence->at, std::nullopt};
    if (words.size() == 8) {
        event.until = time_of(words[7]);
        if (words[6] != "until" || !event.until) return std::nullopt;
    }
    return event;
}

std::optional<Event> stays_event(const Words& words) {
    const auto occurrence = occurrence_of(words, 8);
    if (!occurrence || words.size() != 8 || words[6] != "until") return std::nullopt;
    const auto until = time_of(words[7]);
    if (!until) return std::nullopt;
    return Stays{occurrence->subject, occurrence->at, *until};
}

std::optional<Event> probe_event(const Words& words) {
    const auto occurrence = occurrence_of(words, 7);
    if (!occurrence || words.size() != 7) return std::nullopt;
    const auto temperature = degrees_of(words[6]);
    if (!temperature) return std::nullopt;
    return Probe{occurrence->subject, occurrence->at, *temperature};
}

std::optional<Event> spread_event(const Words& words) {
    const auto occurrence = occurrence_of(words, 7);
    if (!occurrence || words.size() != 7) return std::nullopt;
    const auto depth = thousandths_of(words[6], "mm");
    if (!depth || *depth <= 0) return std::nullopt;
    return SpreadOut{occurrence->subject, occurrence->at, *depth};
}

template <class AboutEntry>
std::optional<Event> event_about_entry(const Words& words) {
    const auto number = words.size() == 4 ? digits_of(words[3]) : std::nullopt;
    if (!number) return std::nullopt;
    return AboutEntry{*number};
}

std::optional<PublishedStep> step_of(const Words& words) {
    if (words.size() < 4 || words.size() % 2 != 0) return std::nullopt;
    const auto start = time_of(words[1]);
    const auto ready = time_of(words[2]);
    const auto end = time_of(words[3]);
    if (!start || !ready || !end) return std::nullopt;
    PublishedStep step{words[0], *start, *ready, *end, {}, {}};
    for (std::size_t i = 4; i < words.size(); i += 2) {
        if (words[i] != "by" && words[i] != "on") return std::nullopt;
        (words[i] == "by" ? step.who : step.uses).push_back(words[i + 1]);
    }
    return step;
}

std::optional<PublishedTurn> turn_of(const Words& words) {
    const auto at = words.size() == 4 ? time_of(words[2]) : std::nullopt;
    if (!at) return std::nullopt;
    PublishedTurn turn{words[1], *at, degrees_of(words[3])};
    if (!turn.temperature && words[3] != "off") return std::nullopt;
    return turn;
}

std::optional<PublishedWashing> washing_of(const Words& words) {
    if (words.size() != 5) return std::nullopt;
    const auto from = time_of(words[2]);
    const auto to = time_of(words[3]);
    if (!from || !to) return std::nullopt;
    return PublishedWashing{words[1], *from, *to, words[4]};
}

template <class Row>
bool keep(std::optional<Row> row, std::vector<Row>& rows) {
    if (row) rows.push_back(std::move(*row));
    return row.has_value();
}

/// A step's id has dots, so none is called "oven" or "wash".
bool read_row(std::string_view text, Published& event) {
    bool well_formed = false;
    const Words words = split_words(text, well_formed);
    if (!well_formed || words.empty()) return false;
    if (words[0] == "oven") return keep(turn_of(words), event.turns);
    if (words[0] == "wash") return keep(washing_of(words), event.washing);
    return keep(step_of(words), event.steps);
}

std::optional<Event> published_event(const Words& words, std::string_view rows) {
    if (words.size() != 4) return std::nullopt;
    Published event{words[3], {}, {}, {}};
    while (!rows.empty()) {
        const std::size_t end = std::min(rows.find('\n'), rows.size());
        if (!read_row(rows.substr(0, end), event)) return std::nullopt;
        rows.remove_prefix(std::min(end + 1, rows.size()));
    }
    return event;
}

std::optional<Event> event_of(const Words& words, std::string_view rows) {
    const std::string& kind = words[2];
    if (kind == "published") return published_event(words, rows);
    if (!rows.empty()) return std::nullopt;
    if (kind == "started") return plain_event<Started>(words);
    if (kind == "finished") return plain_event<Finished>(words);
    if (kind == "will-end") return plain_event<WillEnd>(words);
    if (kind == "probe") return probe_event(words);
    if (kind == "spread") return spread_event(words);
    if (kind == "broken") return lasting_event<Broken>(words);
    if (kind == "mended") return plain_event<Mended>(words);
    if (kind == "left") return lasting_event<Left>(words);
    if (kind == "arrived") return plain_event<Arrived>(words);
    if (kind == "stays") return stays_event(words);
    if (kind == "pickup") return plain_event<PickupMoved>(words);
    if (kind == "confirmed") return event_about_entry<Confirmed>(words);
    if (kind == "taken-back") return event_about_entry<TakenBack>(words);
    return std::nullopt;
}

std::optional<Entry> entry_of(std::string_view text) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    bool well_formed = false;
    const Words words = split_words(text.substr(0, end), well_formed);
    if (!well_formed || words.size() < 4) return std::nullopt;
    const auto number = digits_of(words[0]);
    const auto recorded = time_of(words[1]);
    if (!number || !recorded) return std::nullopt;
    auto event = event_of(words, text.substr(std::min(end + 1, text.size())));
    if (!event) return std::nullopt;
    return Entry{*number, *recorded, std::move(*event)};
}

// ------------------------------------------------------------------------------------------------- the whole

Trouble trouble_at(std::uint32_t line, Trouble::Kind kind, std::string message, std::string remedy) {
    return {kind, std::move(message), std::move(remedy), line};
}

Trouble damage_at(std::uint32_t line, const std::string& what) {
    return trouble_at(
        line, Trouble::Kind::damaged, "line " + std::to_string(line) + " of the journal " + what,
        "nothing was changed; put the line back as it was, or put '! ' in front of it if it must not count");
}

Trouble gap_at(std::uint32_t line, std::int32_t expected, std::int32_t found) {
    return trouble_at(line, Trouble::Kind::damaged,
                      "line " + std::to_string(line) + " of the journal is entry " + std::to_string(found) +
                          " where entry " + std::to_string(expected) + " should be",
                      "nothing was changed; put the missing entry back, or the line '! " + std::to_string(expected) +
                          "' in its place if it must not count");
}

/// The beginning of a first line that a power cut may leave, or zeros where it never arrived.
bool is_torn_header(std::string_view text) {
    return kMagic.starts_with(text.substr(0, kMagic.size())) || text.find('\0') == 0;
}

/// What a power cut leaves has no check, or zeros inside.
bool is_torn(const Group& group) {
    return group.seal == Group::Seal::none || group.all.find('\0') != std::string_view::npos;
}

class Parser {
public:
    Parsed run(std::string_view text) {
        groups_ = split_groups(text);
        result_.open_line = !text.empty() && !text.ends_with('\n');
        if (!begins_as_journal()) return std::move(result_);
        for (std::size_t i = 0; i < groups_.size() && !result_.damage; ++i) take(i);
        std::ranges::sort(result_.journal.remnants, {}, &Remnant::line);
        return std::move(result_);
    }

private:
    bool begins_as_journal() {
        if (groups_.empty()) return true;
        const std::string_view first = groups_.front().all;
        if (first.starts_with(kMagic) || is_torn_header(first)) return true;
        result_.damage = trouble_at(1, Trouble::Kind::not_journal, "this file is not a journal of Oventide",
                                    "nothing was changed; move it elsewhere, or give the plan another name");
        return false;
    }

    void take(std::size_t i) {
        const Group& group = groups_[i];
        if (group.seal == Group::Seal::right) return take_sealed(group);
        if (struck_out(group)) return strike(group);
        const std::size_t after = end_of_unsealed(i);
        const bool marked = after < groups_.size() && groups_[after].text == kTornRemark;
        if (marked || (after == groups_.size() && is_torn(group))) {
            remember(group);
            if (!marked) result_.torn.push_back(result_.journal.remnants.back());
            return;
        }
        result_.damage = damage_at(
            group.line, group.seal == Group::Seal::wrong ? "is not as it was written" : "has no check at its end");
    }

    void take_sealed(const Group& group) {
        if (group.text == kTornRemark) return;
        if (!result_.begun) return take_header(group);
        auto entry = entry_of(group.text);
        if (!entry) {
            result_.damage = trouble_at(group.line, Trouble::Kind::newer,
                                        "line " + std::to_string(group.line) + " of the journal says something unknown",
                                        "a later version of Oventide may have written it: use that one");
            return;
        }
        if (entry->number != result_.next_number) {
            result_.damage = gap_at(group.line, result_.next_number, entry->number);
            return;
        }
        ++result_.next_number;
        result_.journal.entries.push_back(std::move(*entry));
    }

    void take_header(const Group& group) {
        bool well_formed = false;
        const Words words = split_words(group.text, well_formed);
        if (!well_formed || words.size() != 4 || !group.text.starts_with(kMagic)) {
            result_.damage = damage_at(group.line, "stands before the journal's first line");
            return;
        }
        if (words[2] != std::to_string(kVersion)) {
            result_.damage = trouble_at(group.line, Trouble::Kind::newer,
                                        "the journal is of version " + words[2] + ", and this Oventide reads version " +
                                            std::to_string(kVersion),
                                        "use the Oventide that wrote it");
            return;
        }
        result_.begun = true;
        result_.journal.timezone = words[3];
    }

    /// The first group from `i` on that is sealed.
    std::size_t end_of_unsealed(std::size_t i) const {
        while (i < groups_.size() && groups_[i].seal != Group::Seal::right) ++i;
        return i;
    }

    static bool struck_out(const Group& group) {
        return group.all.starts_with("! ") && !kTornRemark.starts_with(group.all);
    }

    void remember(const Group& group) { result_.journal.remnants.push_back({group.line, std::string(group.all)}); }

    /// The cook says that this line must not count; where it was an entry, its number is used up.
    void strike(const Group& group) {
        remember(group);
        if (result_.begun) {
            const std::string_view line = group.all.substr(2);
            const auto number = digits_of(line.substr(0, std::min(line.find(' '), line.size())));
            if (number == result_.next_number) ++result_.next_number;
        }
    }

    std::vector<Group> groups_;
    Parsed result_;
};

}  // namespace

Parsed parse(std::string_view text) { return Parser().run(text); }

}  // namespace oventide::journal
