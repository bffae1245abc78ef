#include "plan/hours.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include "common/spans.hpp"

namespace oventide::plan_file {
namespace {

constexpr std::int32_t kDay = 24 * 60;
const char* const kExample = "write hours like \"Mon-Fri 06:00-12:00, 13:00-18:00\" or \"2026-10-03 05:00-16:30\"";

bool is_digit(char c) { return c >= '0' && c <= '9'; }

/// Splits at spaces and commas; a comma is a word of its own, and so is a dash between spaces. An en dash counts as a
/// dash, since that is what some editors make of it.
std::vector<std::string> words_of(std::string_view text) {
    std::vector<std::string> words(1);
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        if (c == ' ' || c == '\t') {
            words.emplace_back();
        } else if (c == ',') {
            words.emplace_back(",");
            words.emplace_back();
        } else if (text.substr(i, 3) == "\u2013") {
            words.back() += '-';
            i += 2;
        } else {
            words.back() += c;
        }
    }
    std::erase(words, std::string());
    return words;
}

std::optional<int> weekday_of(std::string_view word) {
    static constexpr std::array<std::string_view, 7> names{"monday", "tuesday",  "wednesday", "thursday",
                                                           "friday", "saturday", "sunday"};
    std::string small(word);
    for (char& c : small) c = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    for (std::size_t day = 0; day < names.size(); ++day)
        if (small == names[day] || small == names[day].substr(0, 3)) return static_cast<int>(day);
    return std::nullopt;
}

/// "Fri", "Mon-Fri", "Sat-Mon".
bool add_weekdays(const std::string& word, std::vector<bool>& weekdays) {
    const std::size_t dash = word.find('-');
    const auto first = weekday_of(std::string_view(word).substr(0, dash));
    const auto last = dash == std::string::npos ? first : weekday_of(std::string_view(word).substr(dash + 1));
    if (!first || !last) return false;
    weekdays.resize(7);
    for (int day = *first;; day = (day + 1) % 7) {
        weekdays[static_cast<std::size_t>(day)] = true;
        if (day == *last) return true;
    }
}

std::optional<int> digits(std::string_view text) {
    if (text.empty() || text.size() > 4 || !std::all_of(text.begin(), text.end(), is_digit)) return std::nullopt;
    int value = 0;
    for (const char c : text) value = value * 10 + (c - '0');
    return value;
}

bool looks_like_date(std::string_view word) { return word.size() == 10 && word[4] == '-' && word[7] == '-'; }

std::optional<clock::LocalTime> date_of(std::string_view word) {
    const auto year = digits(word.substr(0, 4)), month = digits(word.substr(5, 2)), day = digits(word.substr(8, 2));
    if (!year || !month || !day) return std::nullopt;
    const auto m = static_cast<std::uint32_t>(*month), d = static_cast<std::uint32_t>(*day);
    if (!clock::valid_date(*year, m, d)) return std::nullopt;
    return clock::LocalTime{*year, m, d, 0};
}

/// "6:30", "06:30", "24:00".
std::optional<std::int32_t> minute_of(std::string_view text) {
    const std::size_t colon = text.find(':');
    if (colon == std::string_view::npos || colon > 2 || text.size() - colon != 3) return std::nullopt;
    const auto hour = digits(text.substr(0, colon)), minute = digits(text.substr(colon + 1));
    if (!hour || !minute || *minute > 59 || *hour > 24 || (*hour == 24 && *minute > 0)) return std::nullopt;
    return *hour * 60 + *minute;
}

bool looks_like_times(std::string_view word) { return word.find(':') != std::string_view::npos; }

Parsed<DayPart> part_of(const std::string& word) {
    const std::size_t dash = word.find('-');
    const auto from = dash == std::string::npos ? std::nullopt : minute_of(std::string_view(word).substr(0, dash));
    const auto to = dash == std::string::npos ? std::nullopt : minute_of(std::string_view(word).substr(dash + 1));
    if (!from || !to || *from == kDay)
        return {{}, "'" + word + "' is not a stretch of a day", "write one like \"06:00-12:30\""};
    if (*from == *to) return {{}, "'" + word + "' begins when it ends", "for a whole day write \"00:00-24:00\""};
    return {DayPart{*from, *to > *from ? *to : *to + kDay}, {}, {}};
}

int rank(const HoursEntry& entry) { return static_cast<int>(entry.days); }

bool speaks_of(const HoursEntry& entry, const clock::LocalTime& day) {
    switch (entry.days) {
        case HoursEntry::Days::every:
            return true;
        case HoursEntry::Days::weekdays:
            return entry.weekdays[static_cast<std::size_t>(clock::weekday(day))];
        default:
            return entry.date.year == day.year && entry.date.month == day.month && entry.date.day == day.day;
    }
}

std::vector<const HoursEntry*> entries_for(const std::vector<HoursEntry>& entries, const clock::LocalTime& day,
                                           Together together) {
    std::vector<const HoursEntry*> found;
    for (const HoursEntry& entry : entries) {
        if (!speaks_of(entry, day)) continue;
        if (together == Together::replace && !found.empty()) {
            if (rank(entry) < rank(*found.front())) continue;
            if (rank(entry) > rank(*found.front())) found.clear();
        }
        found.push_back(&entry);
    }
    return found;
}

}  // namespace

Parsed<HoursEntry> parse_hours(std::string_view text) {
    HoursEntry entry;
    const auto words = words_of(text);
    std::size_t next = 0;
    for (; next < words.size() && !looks_like_times(words[next]) && words[next] != "off"; ++next) {
        const std::string& word = words[next];
        if (looks_like_date(word)) {
            const auto date = date_of(word);
            if (!date) return {{}, "there is no day " + word, "write the date as year-month-day: \"2026-10-03\""};
            if (entry.days != HoursEntry::Days::every) return {{}, "two kinds of days in one text", kExample};
            entry.days = HoursEntry::Days::date;
            entry.date = *date;
        } else if (word == "daily" && next == 0) {
            continue;
        } else if (word == "," && entry.days == HoursEntry::Days::weekdays) {
            continue;
        } else if (entry.days != HoursEntry::Days::date && add_weekdays(word, entry.weekdays)) {
            entry.days = HoursEntry::Days::weekdays;
        } else {
            return {{}, "'" + word + "' is neither a day nor a time", kExample};
        }
    }
    if (next == words.size()) return {{}, "these hours have no times", kExample};
    if (words[next] == "off") {
        if (next + 1 < words.size()) return {{}, "nothing may follow 'off'", kExample};
        if (entry.days == HoursEntry::Days::every) return {{}, "off on which days?", "write \"Sun off\""};
        return {std::move(entry), {}, {}};
    }
    for (bool comma = false; next < words.size(); ++next, comma = !comma) {
        if (comma) {
            if (words[next] != ",") return {{}, "'" + words[next] + "' is not expected here", kExample};
            continue;
        }
        auto part = part_of(words[next]);
        if (!part.value) return {{}, part.problem, part.suggestion};
        entry.parts.push_back(*part.value);
    }
    if (words.back() == ",") return {{}, "nothing follows the last comma", kExample};
    return {std::move(entry), {}, {}};
}

bool complain_of_changeover(const clock::Zone& zone, const clock::LocalTime& local, const clock::Reading& reading,
                            const Place& place, Complaints& complaints) {
    if (reading.kind == clock::Reading::Kind::once) return false;
    const bool skipped = reading.kind == clock::Reading::Kind::skipped;
    const std::string when = clock::clock_text(local) + " on " + clock::date_text(local);
    const std::string first = clock::iso_text(zone, reading.first), second = clock::iso_text(zone, reading.second);
    complaints.error(place,
                     (skipped ? "the clocks skip " : "the clocks show ") + when + (skipped ? "" : " twice") + " in " +
                         zone.name() + ": it could be " + first + " or " + second,
                     "write a clock time outside the changeover");
    return true;
}

std::vector<Span> lay_out(const std::vector<HoursEntry>& entries, Together together, const clock::Zone& zone,
                          const Days& days, Complaints& complaints) {
    std::vector<Span> spans;
    const auto instant = [&](clock::LocalTime day, std::int32_t minute, const Place& place) {
        clock::LocalTime local = minute >= kDay ? clock::add_days(day, 1) : day;
        local.minute = minute % kDay;
        const clock::Reading reading = zone.read(local);
        // Midnight as the end of a day needs no clock time of its own: the day is over when the next one begins.
        if (minute != kDay && minute != 0) complain_of_changeover(zone, local, reading, place, complaints);
        return reading.first;
    };
    for (clock::LocalTime day = days.first;; day = clock::add_days(day, 1)) {
        day.minute = 0;
        for (const HoursEntry* entry : entries_for(entries, day, together)) {
            for (const DayPart& part : entry->parts) {
                const Span span{instant(day, part.from, entry->place), instant(day, part.to, entry->place)};
                if (span.from < span.to) spans.push_back(span);
            }
        }
        if (day.year == days.last.year && day.month == days.last.month && day.day == days.last.day) break;
    }
    return merged(std::move(spans));
}

}  // namespace oventide::plan_file
