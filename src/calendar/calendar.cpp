#include "oventide/calendar.hpp"

#include <fmt/chrono.h>
#include <fmt/format.h>

#include <algorithm>
#include <boost/uuid/name_generator_sha1.hpp>
#include <boost/uuid/uuid_io.hpp>
#include <limits>
#include <map>

#include "oventide/clock.hpp"
#include "timetable/job_words.hpp"
#include "timetable/signals.hpp"

namespace oventide::calendar {
namespace {

constexpr std::size_t kLineOctets = 75;

bool continues_character(char byte) { return (static_cast<unsigned char>(byte) & 0xC0U) == 0x80U; }

std::string utc(Instant at) {
    const std::time_t seconds = std::chrono::system_clock::to_time_t(at);
    return fmt::format("{:%Y%m%dT%H%M%SZ}", fmt::gmtime(seconds));
}

std::int64_t first_day(const Plan& plan) {
    std::int64_t day = std::numeric_limits<std::int64_t>::max();
    for (const Order& order : plan.orders)
        day =
            std::min<std::int64_t>(day, std::chrono::floor<std::chrono::days>(order.pickup).time_since_epoch().count());
    return day;
}

/// The same name gives the same identifier on every machine. The day of the first pickup is part of it, so that
/// next week's plan of the same title gets events of its own.
std::string identifier(const Plan& plan, std::string_view what) {
    // A namespace of our own, drawn once; it has no meaning.
    static const boost::uuids::uuid ours{
        {0x5f, 0x1d, 0x6c, 0x2e, 0x0b, 0x7a, 0x4c, 0x55, 0x9e, 0x31, 0x27, 0xd4, 0x88, 0x60, 0x1f, 0x93}};
    const boost::uuids::name_generator_sha1 generate(ours);
    return boost::uuids::to_string(generate(fmt::format("{}\n{}\n{}", plan.title, first_day(plan), what)));
}

/// "-PT5M": a duration before the start; "PT0S" at it.
std::string trigger(Minutes before) { return before.count() == 0 ? "PT0S" : fmt::format("-PT{}M", before.count()); }

struct Event {
    std::string name;  ///< what the identifier is made from
    Instant start;
    std::optional<Instant> end;
    std::string summary;
    std::string description;
    std::optional<Minutes> alarm_before;
};

void append(std::string& out, std::string_view line) { out += fold(line); }

void append(std::string& out, const Plan& plan, const Event& event, Instant now) {
    append(out, "BEGIN:VEVENT");
    append(out, "UID:" + identifier(plan, event.name));
    append(out, "DTSTAMP:" + utc(now));
    append(out, "LAST-MODIFIED:" + utc(now));
    append(out, "DTSTART:" + utc(event.start));
    if (event.end) append(out, "DTEND:" + utc(*event.end));
    append(out, "SUMMARY:" + escape_text(event.summary));
    if (!event.description.empty()) append(out, "DESCRIPTION:" + escape_text(event.description));
    if (event.alarm_before) {
        append(out, "BEGIN:VALARM");
        append(out, "ACTION:DISPLAY");
        append(out, "TRIGGER:" + trigger(*event.alarm_before));
        append(out, "DESCRIPTION:" + escape_text(event.summary));
        append(out, "END:VALARM");
    }
    append(out, "END:VEVENT");
}

bool wanted(const Options& options, std::optional<PersonIndex> person) {
    return options.people.empty() ||
           (person && std::find(options.people.begin(), options.people.end(), *person) != options.people.end());
}

std::string equipment_text(const Plan& plan, const Row& row) {
    std::string text;
    for (const EquipmentUse& use : row.equipment) {
        if (!text.empty()) text += ", ";
        text += plan.kitchen.equipment[use.equipment].name;
    }
    return text;
}

/// " (Maren)", where the plan has more than one in its crew.
std::string whose(const Plan& plan, std::optional<PersonIndex> person) {
    if (!person) return " (nobody is there)";
    return plan.kitchen.crew.size() > 1 ? " (" + plan.kitchen.crew[*person].name + ")" : "";
}

/// "Sat 05:10"
std::string local(const Plan& plan, Instant at) {
    const auto zone = clock::Zone::find(plan.timezone);
    if (!zone) return utc(at);
    const clock::LocalTime time = zone->local(at);
    return clock::weekday_name(clock::weekday(time)) + " " + clock::clock_text(time);
}

std::string job_title(const Plan& plan, const Timetable& timetable, const Numbers& numbers, const Job& job) {
    const auto clock = [&](Instant at) { return local(plan, at); };
    if (job.event >= 0) {
        const OvenEvent& event = timetable.oven[static_cast<std::size_t>(job.event)];
        const bool sets = job.kind == Job::Kind::timer;
        return plan.kitchen.equipment[*job.place].name + ": " +
               (sets ? "set its timer to come on at " + local(plan, event.at) + " for " +
                           heat_text(plan, event.temperature.value_or(0))
                     : turning(plan, timetable, job.event, clock)) +
               turned_for(timetable, job.event,
                          [&](ComponentIndex component) { return plan.components[component].name; }) +
               whose(plan, job.person);
    }
    const Row& row = timetable.rows[static_cast<std::size_t>(job.row)];
    const Component& component = plan.components[row.component];
    const std::string step = component.name + ": " + component.steps[row.step].name + numbers.which(row);
    const std::string what = doing(plan, timetable, job, clock);
    return (job.kind == Job::Kind::washing ? "wash up after " : "") + step + (what.empty() ? "" : " - " + what) +
           whose(plan, job.person);
}

/// What tells a job from the others of its step, or of its oven, whenever it is done.
std::string job_name(const Plan& plan, const Timetable& timetable, const Job& job) {
    const auto kind = static_cast<int>(job.kind);
    if (job.row >= 0) return fmt::format("job {} {}", timetable.rows[static_cast<std::size_t>(job.row)].id, kind);
    const OvenEvent& event = timetable.oven[static_cast<std::size_t>(job.event)];
    return fmt::format("{} {} {}", job.kind == Job::Kind::timer ? "timer" : "oven",
                       plan.kitchen.equipment[event.oven].name, static_cast<int>(event.kind));
}

constexpr Minutes kBreak{15};
constexpr Minutes kJustReady{5};

/// It has been in the cold until now.
bool ends_a_chill(const Plan& plan, const Timetable& timetable, const Row& user) {
    return std::any_of(timetable.rows.begin(), timetable.rows.end(), [&](const Row& food) {
        return cold_place(plan, food, user.start) != nullptr && user.start - food.ready <= kJustReady &&
               goes_into(plan, timetable, food, user);
    });
}

/// Whoever is busy with something else has to be in time for it.
bool must_be_in_time(const Plan& plan, const Timetable& timetable, const Job& job) {
    using enum Job::Kind;
    if (job.kind == timer || job.kind == put_out) return true;
    if (job.event >= 0) {
        const OvenEvent& event = timetable.oven[static_cast<std::size_t>(job.event)];
        return event.kind != OvenEvent::Kind::off || event.leave_until.has_value();
    }
    const Row& row = timetable.rows[static_cast<std::size_t>(job.row)];
    const bool in_oven = job.place && plan.kitchen.equipment[*job.place].kind == EquipmentKind::oven;
    if (job.kind == out || job.kind == end) return true;
    if (job.kind == into && in_oven) return true;
    return job.span.from == row.start && job.kind != washing && ends_a_chill(plan, timetable, row);
}

/// Tells what begins after a break; jobs are asked about in the order of their times.
class Breaks {
public:
    bool over_at(const Job& job) {
        if (job.span.from == job.span.to || !job.person) return false;
        const auto [last, first] = ends_.try_emplace(*job.person, job.span.to);
        const bool rested = !first && job.span.from - last->second >= kBreak;
        last->second = std::max(last->second, job.span.to);
        return rested;
    }

private:
    std::map<PersonIndex, Instant> ends_;
};

std::optional<Minutes> alarm(const Options& options, bool key) {
    return key || options.alarms == Alarms::all ? std::optional(options.alarm_before) : std::nullopt;
}

void add_chills(std::vector<Event>& events, const Plan& plan, const Timetable& timetable, const Options& options) {
    const Numbers numbers(timetable);
    for (const Signal& signal : signals(plan, timetable)) {
        const Row& row = *signal.row;
        if (!signal.person || !wanted(options, signal.person) || cold_place(plan, row, row.ready) == nullptr) continue;
        const Component& component = plan.components[row.component];
        events.push_back({"ready " + row.id, row.ready, std::nullopt,
                          component.name + ": " + component.steps[row.step].name + numbers.which(row) + " - ready" +
                              whose(plan, signal.person),
                          equipment_text(plan, row), options.alarm_before});
    }
}

void add_jobs(std::vector<Event>& events, const Plan& plan, const Timetable& timetable, const Options& options) {
    const Numbers numbers(timetable);
    std::map<std::string, int> times;
    Breaks breaks;
    for (const Job& job : timetable.jobs) {
        const bool rested = breaks.over_at(job);
        std::string name = job_name(plan, timetable, job);
        name += fmt::format(" {}", times[name]++);
        if (!wanted(options, job.person)) continue;
        const auto end = job.span.from < job.span.to ? std::optional(job.span.to) : std::nullopt;
        events.push_back({std::move(name), job.span.from, end, job_title(plan, timetable, numbers, job),
                          job.row >= 0 ? equipment_text(plan, timetable.rows[static_cast<std::size_t>(job.row)]) : "",
                          alarm(options, rested || must_be_in_time(plan, timetable, job))});
    }
}

/// One for each working day of each person.
void add_alarm_clocks(std::vector<Event>& events, const Plan& plan, const Timetable& timetable,
                      const Options& options) {
    const Numbers numbers(timetable);
    std::map<PersonIndex, int> times;
    for (const Shift& shift : timetable.shifts) {
        const int which = times[shift.person]++;
        if (!wanted(options, shift.person)) continue;
        const std::string& person = plan.kitchen.crew[shift.person].name;
        const Minutes before = options.rise.value_or(options.alarm_before);
        events.push_back(
            {fmt::format("alarm clock {} {}", person, which), shift.span.from, std::nullopt,
             "alarm clock: " + plan.title + (plan.kitchen.crew.size() > 1 ? " (" + person + ")" : ""),
             fmt::format("at work {}; first: {}\nRings {} min before: `--rise` gives it the time to get up and come.",
                         local(plan, shift.span.from),
                         job_title(plan, timetable, numbers, timetable.jobs[static_cast<std::size_t>(shift.first)]),
                         before.count()),
             before});
    }
}

void add_pickups(std::vector<Event>& events, const Plan& plan, const Timetable& timetable, const Options& options) {
    for (const Order& order : plan.orders) {
        const auto index = static_cast<std::int32_t>(&order - plan.orders.data());
        const auto line = std::ranges::find(timetable.pickups, index, &PickupLine::order);
        const bool late = line != timetable.pickups.end() && line->done > line->pickup;
        events.push_back({"pickup " + order.name, order.pickup, std::nullopt,
                          "pickup: " + order.name + (late ? ", LATE: ready " + local(plan, line->done) : ""), "",
                          std::max(options.alarm_before, order.margin)});
    }
}

std::vector<Event> events_of(const Plan& plan, const Timetable& timetable, const Options& options) {
    std::vector<Event> events;
    add_alarm_clocks(events, plan, timetable, options);
    add_jobs(events, plan, timetable, options);
    add_chills(events, plan, timetable, options);
    add_pickups(events, plan, timetable, options);
    std::stable_sort(events.begin(), events.end(), [](const Event& a, const Event& b) { return a.start < b.start; });
    return events;
}

}  // namespace

std::string escape_text(std::string_view text) {
    std::string out;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        if (c == '\r' && i + 1 < text.size() && text[i + 1] == '\n') continue;
        if (c == '\n' || c == '\r') {
            out += "\\n";
        } else if (c == '\\' || c == ';' || c == ',') {
            out += '\\';
            out += c;
        } else if (static_cast<unsigned char>(c) < 0x20U || c == 0x7F) {
            out += ' ';
        } else {
            out += c;
        }
    }
    return out;
}

std::string fold(std::string_view line) {
    std::string out;
    std::size_t room = kLineOctets;
    while (line.size() > room) {
        std::size_t cut = room;
        while (cut > 0 && continues_character(line[cut])) --cut;
        if (cut == 0) cut = room;  // not UTF-8: cut anywhere rather than not at all
        out.append(line.substr(0, cut)).append("\r\n ");
        line.remove_prefix(cut);
        room = kLineOctets - 1;  // the space that begins a continuation counts
    }
    return out.append(line).append("\r\n");
}

std::string write(const Plan& plan, const Timetable& timetable, const Options& options) {
    std::string out;
    append(out, "BEGIN:VCALENDAR");
    append(out, "VERSION:2.0");
    append(out, "PRODID:-//Oventide//Oventide bake-day timetable//EN");
    append(out, "CALSCALE:GREGORIAN");
    append(out, "NAME:" + escape_text(plan.title));
    const Plan& named = options.planned != nullptr ? *options.planned : plan;
    for (const Event& event : events_of(plan, timetable, options)) append(out, named, event, options.now);
    append(out, "END:VCALENDAR");
    return out;
}

}  // namespace oventide::calendar
