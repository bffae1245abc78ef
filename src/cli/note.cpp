#include "cli/note.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <string_view>
#include <utility>

#include "cli/day_chills.hpp"
#include "oventide/replan.hpp"
#include "oventide/spelling.hpp"
#include "plan/quantities.hpp"

namespace oventide::cli {
namespace {

constexpr const char* kTime = "TIME";

enum class About { step, equipment, person, order, number, everything };

struct Kind {
    const char* word;
    About about;
    const char* value;  ///< what must stand behind the name; null: nothing
    const char* meaning;
};

constexpr std::array kKinds{
    Kind{"started", About::step, nullptr, "STEP                has begun [at TIME]"},
    Kind{"finished", About::step, nullptr, "STEP                is done [at TIME]"},
    Kind{"runs-long", About::step, "MINUTES", "STEP MINUTES        is ready so much later"},
    Kind{"ready", About::step, kTime, "STEP TIME           will be ready then"},
    Kind{"probe", About::step, "CELSIUS", "STEP CELSIUS        its warmest part has been measured"},
    Kind{"spread", About::step, "DEPTH", "STEP DEPTH          it cools only so deep from now on, like 1 cm"},
    Kind{"broken", About::equipment, nullptr, "EQUIPMENT           cannot be used [until TIME]"},
    Kind{"mended", About::equipment, nullptr, "EQUIPMENT           can be used again"},
    Kind{"away", About::person, nullptr, "PERSON              is not there, now or at TIME [until TIME]"},
    Kind{"back", About::person, nullptr, "PERSON              is there"},
    Kind{"stays", About::person, nullptr, "PERSON until TIME   is there until then, whatever the hours say"},
    Kind{"comes", About::person, kTime, "PERSON TIME         is there from then, before the hours begin"},
    Kind{"pickup", About::order, kTime, "ORDER TIME          is collected then"},
    Kind{"on-time", About::everything, nullptr, "                    everything up to now went as announced"},
    Kind{"right", About::number, nullptr, "NUMBER              entry NUMBER was asked about, and is so"},
    Kind{"undo", About::number, nullptr, "NUMBER              entry NUMBER was a mistake"},
};

struct Wrong {
    std::string problem;
    std::string advice;
};

/// So long after an instant lies the middle of the day that follows it.
constexpr Minutes kHalfADay{12 * 60};
constexpr Minutes kFarAhead{6 * 60};
constexpr Minutes kJustAsked{5};

/// Two figures, a colon, two figures; the day on which it is nearest to `around`.
std::optional<Instant> clock_time(const std::string& text, const NoteContext& context, Instant around) {
    int hour = 0;
    int minute = 0;
    const std::size_t colon = text.find(':');
    if (colon == std::string::npos || colon == 0 || colon > 2 || text.size() != colon + 3) return std::nullopt;
    const char* const data = text.data();
    const auto first = std::from_chars(data, data + colon, hour);
    const auto second = std::from_chars(data + colon + 1, data + text.size(), minute);
    if (first.ptr != data + colon || second.ptr != data + text.size()) return std::nullopt;
    if (hour < 0 || hour > 23 || minute < 0 || minute > 59) return std::nullopt;
    clock::LocalTime today = context.zone.local(around);
    today.minute = hour * 60 + minute;
    std::optional<Instant> nearest;
    const auto offer = [&](Instant at) {
        if (!nearest || std::chrono::abs(at - around) < std::chrono::abs(*nearest - around)) nearest = at;
    };
    for (const int days : {0, -1, 1}) {
        const clock::Reading reading = context.zone.read(clock::add_days(today, days));
        if (reading.kind == clock::Reading::Kind::skipped) continue;
        offer(reading.first);
        if (reading.kind == clock::Reading::Kind::twice) offer(reading.second);
    }
    return nearest;
}

std::optional<double> number(const std::string& text) {
    double value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc() || end != text.data() + text.size() || !std::isfinite(value)) return std::nullopt;
    return value;
}

class Reader {
public:
    Reader(const std::vector<std::string>& words, const NoteContext& context) : words_(words), context_(context) {}

    NoteReading read() {
        join_kind();
        const Kind* kind = find_kind();
        if (kind == nullptr) return refuse();
        std::vector<std::string> words(words_.begin() + 1, words_.end());
        if (words.size() > 1 && words[words.size() - 2] == "till") words[words.size() - 2] = "until";
        take_time(words, "until", until_);
        take_time(words, "at", at_);
        if (std::string(kind->word) == "stays" && until_.empty()) take_last(words, until_);
        if (!times_are_marked(*kind, words)) return refuse();
        join_unit(*kind, words);
        if (kind->value == kTime && !at_.empty()) {  // "pickup Village hall at 16:00"
            value_ = std::exchange(at_, "");
        } else if (kind->value != nullptr && words.size() > 1) {
            value_ = words.back();
            words.pop_back();
        }
        name_ = without_quotes(fmt::format("{}", fmt::join(words, " ")));
        if (kind->about == About::everything) {
            if (!words.empty()) return wrong(fmt::format("'{}' is too much", name_), "on-time stands alone");
            return on_time();
        }
        if (name_.empty() || (kind->value != nullptr && value_.empty()))
            return wrong(fmt::format("a note '{}' needs more words", kind->word),
                         fmt::format("{} {}", kind->word, kind->meaning));
        // Who stays or comes does so later than now.
        const bool to_come = std::string(kind->word) == "stays";
        auto at = to_come && !at_.empty() ? time_near(at_, context_.now + kHalfADay - Minutes{60}) : time_or_now(at_);
        if (!at) return refuse();
        // What has happened, and cannot have today by far: yesterday.
        if (happens_by_now(kind->word) && *at - context_.now >= kFarAhead)
            at = time_near(at_, context_.now - kHalfADay);
        if (!find_name(kind->about)) return refuse();
        return event(kind->word, *at);
    }

private:
    NoteReading refuse() const { return {{}, wrong_.problem, wrong_.advice, false, {}}; }
    /// The same once more is no mistake.
    NoteReading noted(journal::Event event) const {
        for (const journal::Entry* entry : context_.journal.standing())
            if (entry->event == event && is_once(event))
                return {{}, fmt::format("already noted: entry {}", entry->number), "", true, {}};
        return {{std::move(event)}, "", "", false, {}};
    }
    static bool is_once(const journal::Event& event) {
        return std::holds_alternative<journal::Started>(event) || std::holds_alternative<journal::Finished>(event);
    }
    NoteReading wrong(std::string problem, std::string advice) {
        wrong_ = {std::move(problem), std::move(advice)};
        return refuse();
    }
    bool say(std::string problem, std::string advice) {
        wrong_ = {std::move(problem), std::move(advice)};
        return false;
    }

    /// "on time", "runs long"
    void join_kind() {
        if (words_.size() < 2) return;
        const std::string both = words_[0] + "-" + words_[1];
        if (std::ranges::none_of(kKinds, [&](const Kind& kind) { return both == kind.word; })) return;
        words_[0] = both;
        words_.erase(words_.begin() + 1);
    }

    /// "... until 07:30" at the end is no part of the name.
    void take_time(std::vector<std::string>& words, const char* before, std::string& time) const {
        if (words.size() < 2 || words[words.size() - 2] != before || !clock_time(words.back(), context_, context_.now))
            return;
        time = words.back();
        words.resize(words.size() - 2);
    }

    /// "stays Ada 19:10" can only mean until then.
    void take_last(std::vector<std::string>& words, std::string& time) const {
        if (words.size() < 2 || words[words.size() - 2] == "at" || !clock_time(words.back(), context_, context_.now))
            return;
        time = words.back();
        words.pop_back();
    }

    /// "30 C" is one value.
    static void join_unit(const Kind& kind, std::vector<std::string>& words) {
        const bool depth = std::string(kind.word) == "spread";
        if ((std::string(kind.word) != "probe" && !depth) || words.size() < 3) return;
        if (!depth && words.back() != "C" && words.back() != "c") return;
        if (depth && words[words.size() - 2].find_first_not_of("0123456789.") != std::string::npos) return;
        words[words.size() - 2] += depth ? words.back() : "C";
        words.pop_back();
    }

    /// A name in quotes, as in a plan, within a note that is in quotes already.
    static std::string without_quotes(const std::string& name) {
        if (name.size() < 2 || name.front() != name.back()) return name;
        return name.front() == '"' || name.front() == '\'' ? name.substr(1, name.size() - 2) : name;
    }

    static bool looks_like_time(const std::string& word) {
        return word.find_first_of(":.") != std::string::npos &&
               word.find_first_not_of("0123456789:.") == std::string::npos;
    }

    /// A time that stands alone, or that is not written like one, is not part of the name.
    bool times_are_marked(const Kind& kind, const std::vector<std::string>& words) {
        if (words.size() < 2) return true;
        const std::string& last = words.back();
        const std::string& before = words[words.size() - 2];
        if (before == "until" || before == "at")
            return clock_time(last, context_, context_.now) ||
                   say(fmt::format("'{}' is not a time of the day", last), "write it like 05:10");
        if (kind.value != nullptr || !looks_like_time(last)) return true;
        const std::string word = kind.word;
        const bool lasts = word == "broken" || word == "away" || word == "stays";
        const std::string what = lasts ? "'until' or 'at'" : "'at'";
        return say(fmt::format("before the time '{}' {} is lacking", last, what),
                   fmt::format("write it like: {} {} {} {}", kind.word, words.front(), lasts ? "until" : "at",
                               clock_time(last, context_, context_.now) ? last : "05:10"));
    }

    const Kind* find_kind() {
        const std::string typed = words_.empty() ? "" : words_.front();
        std::vector<std::string> known;
        for (const Kind& kind : kKinds) {
            if (typed == kind.word) return &kind;
            known.emplace_back(kind.word);
        }
        const auto near = near_misses(typed, known);
        say(typed.empty() ? "what has happened?" : fmt::format("'{}' is no kind of note", typed),
            near.empty() ? fmt::format("one of: {}", fmt::join(known, ", "))
                         : fmt::format("did you mean '{}'?", near.front()));
        return nullptr;
    }

    static bool happens_by_now(std::string_view kind) {
        return kind == "started" || kind == "finished" || kind == "probe" || kind == "spread";
    }

    std::optional<Instant> time_or_now(const std::string& text) {
        return text.empty() ? context_.now : time_near(text, context_.now);
    }

    std::optional<Instant> time_near(const std::string& text, Instant around) {
        const auto at = clock_time(text, context_, around);
        if (!at) say(fmt::format("'{}' is not a time of the day", text), "write it like 05:10");
        return at;
    }

    bool find_name(About about) {
        std::vector<std::string> names;
        switch (about) {
            case About::step:
                return find_step();
            case About::equipment:
                for (const Equipment& one : context_.plan.kitchen.equipment) names.push_back(one.name);
                return find_among(names, "equipment");
            case About::person:
                for (const Person& one : context_.plan.kitchen.crew) names.push_back(one.name);
                return find_among(names, "person");
            case About::order:
                for (const Order& one : context_.plan.orders) names.push_back(one.name);
                return find_among(names, "order");
            case About::number:
            case About::everything:
                break;
        }
        return true;
    }

    bool find_step() {
        std::vector<std::string> ids;
        for (const Activity& activity : context_.expansion.project.activities) ids.push_back(activity.name);
        const journal::StepName found = journal::find_step(name_, ids);
        if (!found.id.empty()) {
            name_ = found.id;
            return true;
        }
        return say((found.several ? "several steps begin with '" : "no step is called '") + name_ + "'",
                   found.candidates.empty() ? "'oventide replan PLAN --json' lists the ids of the steps"
                                            : fmt::format("perhaps: {}", fmt::join(found.candidates, ", ")));
    }

    bool find_among(const std::vector<std::string>& names, const char* what) {
        // The beginning of only one will do, as for steps.
        const journal::StepName found = journal::find_step(name_, names);
        if (!found.id.empty()) {
            name_ = found.id;
            return true;
        }
        return say(fmt::format("the plan has no {} '{}'", what, name_),
                   fmt::format("it has: {}", fmt::join(names, ", ")));
    }

    NoteReading event(const std::string& kind, Instant at) {
        std::optional<Instant> until;
        if (!until_.empty()) {
            until = time_near(until_, at + kHalfADay);
            if (!until) return refuse();
        }
        if (kind == "started") return noted(journal::Started{name_, at});
        if (kind == "finished") return noted(journal::Finished{name_, at});
        if (kind == "broken") return noted(journal::Broken{name_, at, until});
        if (kind == "mended") return mended(at);
        if (kind == "away") return away(at, until);
        if (kind == "back") return noted(journal::Arrived{name_, at});
        if (kind == "stays") return stays(at, until);
        if (kind == "comes") return comes(until);
        if (kind == "undo") return about_entry<journal::TakenBack>();
        if (kind == "right") return about_entry<journal::Confirmed>();
        if (kind == "probe") return probe(at);
        if (kind == "spread") return spread(at);
        if (kind == "runs-long") return runs_long();
        const auto then = time_near(value_, kind == "pickup" ? pickup() : context_.now);
        if (!then) return refuse();
        if (kind == "ready") return noted(journal::WillEnd{name_, *then});
        NoteReading moved = noted(journal::PickupMoved{name_, *then});
        if (*then <= context_.now)
            moved.doubt = fmt::format("{} is past: is that when {} is collected?", value_, name_);
        return moved;
    }

    /// What on-time can tell of the steps one after the other, as announced.
    struct Course {
        replan::Situation day;
        const journal::Published* published;        ///< what is meant by announced
        std::vector<std::optional<Instant>> ready;  ///< by step: known, or noted by this very note
        std::vector<std::string> left_out;
    };

    /// A page that asks whether all happened as announced tells of a day that is later: what was announced before it is
    /// meant, and before the one before it, where that asked as well. Null: none has just asked.
    const journal::Published* announced_before_asking() const {
        const auto is_announcement = [](const journal::Entry& entry) {
            return std::holds_alternative<journal::Published>(entry.event);
        };
        const auto& entries = context_.journal.entries;
        const journal::Published* before = nullptr;
        for (auto asked = std::find_if(entries.rbegin(), entries.rend(), is_announcement); asked != entries.rend();) {
            const auto earlier = std::find_if(std::next(asked), entries.rend(), is_announcement);
            if (earlier == entries.rend() || asked->recorded + kJustAsked <= context_.now) break;
            const auto& published = std::get<journal::Published>(earlier->event);
            if (published.fingerprint != std::get<journal::Published>(asked->event).fingerprint) break;
            if (!has_asked(std::prev(asked.base()), asked->recorded)) break;
            before = &published;
            asked = earlier;
        }
        return before;
    }

    /// Whether, at `now`, by the entries before `end`, something that was announced was neither begun nor done.
    bool has_asked(std::vector<journal::Entry>::const_iterator end, Instant now) const {
        const journal::Journal until{context_.journal.timezone, {context_.journal.entries.begin(), end}, {}};
        const replan::Situation then = replan::situation(context_.plan, context_.expansion, until, now);
        return std::ranges::any_of(then.steps, [&](const replan::StepState& step) {
            return step.state == replan::State::waiting && step.announced && *step.announced < now;
        });
    }

    /// Of each step what was announced and is not noted yet, in the order in which it happened.
    NoteReading on_time() {
        const auto forecast = DayChills(context_.plan, context_.expansion, context_.journal).forecast();
        Course course{replan::situation(context_.plan, context_.expansion, context_.journal, context_.now, forecast),
                      context_.journal.published(),
                      {},
                      {}};
        if (const journal::Published* before = announced_before_asking()) {
            course.published = before;
            course.day = replan::as_announced(std::move(course.day), context_.plan, context_.expansion,
                                              context_.journal, *before);
        }
        std::vector<std::size_t> announced;
        for (std::size_t id = 0; id < course.day.steps.size(); ++id) {
            const replan::StepState& step = course.day.steps[id];
            const bool finished = step.state == replan::State::finished;
            course.ready.push_back(finished ? std::optional(step.ready) : std::nullopt);
            if (!finished && step.announced && *step.announced <= context_.now) announced.push_back(id);
        }
        std::ranges::stable_sort(announced, {}, [&](std::size_t id) { return *course.day.steps[id].announced; });
        std::vector<std::pair<Instant, journal::Event>> happened;
        add_as_inferred(course, happened);
        for (const std::size_t id : announced) add_as_announced(id, course, happened);
        if (happened.empty())
            return {{}, "on-time: all that was announced until now is noted already", "", true, course.left_out};
        std::ranges::stable_sort(happened, {}, [](const auto& one) { return one.first; });
        NoteReading reading;
        reading.left_out = std::move(course.left_out);
        for (auto& [at, event] : happened) reading.events.push_back(std::move(event));
        return reading;
    }

    /// What must have happened, for what needs it has begun.
    void add_as_inferred(const Course& course, std::vector<std::pair<Instant, journal::Event>>& happened) const {
        for (std::size_t id = 0; id < course.day.steps.size(); ++id) {
            const replan::StepState& step = course.day.steps[id];
            if (!step.inferred) continue;
            const std::string& name = context_.expansion.project.activities[id].name;
            if (!is_noted_to_have_started(name)) happened.emplace_back(step.start, journal::Started{name, step.start});
            happened.emplace_back(step.ready, journal::Finished{name, step.ready});
        }
    }

    bool is_noted_to_have_started(const std::string& name) const {
        return std::ranges::any_of(context_.journal.standing(), [&](const journal::Entry* entry) {
            const auto* started = std::get_if<journal::Started>(&entry->event);
            return started != nullptr && started->step == name;
        });
    }

    void add_as_announced(std::size_t id, Course& course, std::vector<std::pair<Instant, journal::Event>>& happened) {
        replan::StepState& step = course.day.steps[id];
        const std::string& name = context_.expansion.project.activities[id].name;
        if (step.by_itself) happened.emplace_back(step.start, journal::Started{name, step.start});
        if (step.state == replan::State::waiting) {
            if (const std::string why = why_not(id, course); !why.empty()) {
                course.left_out.push_back(fmt::format("{} started: {}", name, why));
                return;
            }
            step.start = begins(id, course);
            if (step.start > context_.now) return;
            happened.emplace_back(step.start, journal::Started{name, step.start});
        }
        const bool running = step.state == replan::State::running;
        step.state = replan::State::running;
        if (!step.told_ready || (running && step.ready > context_.now)) return;
        const Instant ready = running ? step.expected : *step.told_ready + (step.start - *step.announced);
        if (ready > context_.now) return;
        happened.emplace_back(ready, journal::Finished{name, ready});
        course.ready[id] = ready;
    }

    /// As announced, or where what it needs was ready later, then; sooner only what needs no hands, and was to follow
    /// at once.
    Instant begins(std::size_t id, const Course& course) const {
        const Instant announced = *course.day.steps[id].announced;
        std::optional<Instant> ready, told;
        for (const Lag& lag : context_.expansion.project.lags) {
            if (lag.to != static_cast<ActivityId>(id) || !is_needed(lag)) continue;
            ready = std::max(ready.value_or(Instant::min()), *course.ready[lag.from] + rest(lag));
            const Instant said = course.day.steps[lag.from].told_ready.value_or(*course.ready[lag.from]);
            told = std::max(told.value_or(Instant::min()), said + rest(lag));
        }
        if (!ready) return announced;
        return told == announced && !needs_hands(id) ? *ready : std::max(announced, *ready);
    }

    bool needs_hands(std::size_t id) const {
        return std::ranges::any_of(context_.expansion.project.activities[id].demands, [&](const Demand& demand) {
            return context_.expansion.resources[demand.choices.front()].person.has_value();
        });
    }

    bool is_needed(const Lag& lag) const { return rest(lag) >= Minutes{0}; }
    /// From when it is ready.
    Minutes rest(const Lag& lag) const {
        return Minutes{lag.lag - context_.expansion.project.activities[lag.from].duration};
    }

    /// What is known stands against it; empty: nothing.
    std::string why_not(std::size_t id, const Course& course) const {
        const Project& project = context_.expansion.project;
        const Instant at = *course.day.steps[id].announced;
        const auto& rows = course.published->steps;
        const auto row = std::ranges::find(rows, project.activities[id].name, &journal::PublishedStep::id);
        const auto& equipment = context_.plan.kitchen.equipment;
        for (std::size_t k = 0; k < equipment.size(); ++k) {
            const auto broken = [&](const Span& span) { return span.from <= at && at < span.to; };
            if (std::ranges::find(row->uses, equipment[k].name) != row->uses.end() &&
                std::ranges::any_of(course.day.broken[k], broken))
                return fmt::format("{} is broken", equipment[k].name);
        }
        const auto& crew = context_.plan.kitchen.crew;
        for (std::size_t k = 0; k < crew.size(); ++k) {
            const auto away = [&](const Span& span) { return span.from <= at && at < span.to; };
            const bool begins = !row->who.empty() && row->who.front() == crew[k].name;
            if (begins && std::ranges::any_of(course.day.away[k], away)) return fmt::format("{} is away", crew[k].name);
        }
        for (const Lag& lag : project.lags) {
            if (lag.to != static_cast<ActivityId>(id) || !is_needed(lag) || course.ready[lag.from]) continue;
            return fmt::format("{}, which it needs, is not ready", project.activities[lag.from].name);
        }
        return {};
    }

    /// Of the order, as it is now.
    Instant pickup() const {
        Instant at = std::ranges::find(context_.plan.orders, name_, &Order::name)->pickup;
        for (const journal::Entry* entry : context_.journal.standing())
            if (const auto* moved = std::get_if<journal::PickupMoved>(&entry->event); moved && moved->order == name_)
                at = moved->at;
        return at;
    }

    const std::vector<Span>& hours() const {
        return std::ranges::find(context_.plan.kitchen.crew, name_, &Person::name)->hours;
    }

    /// It may be noted before it is noted that it broke; but then perhaps it is another that is mended.
    NoteReading mended(Instant at) const {
        NoteReading reading = noted(journal::Mended{name_, at});
        const auto broke = [&](const journal::Entry* entry) {
            const auto* broken = std::get_if<journal::Broken>(&entry->event);
            return broken != nullptr && broken->equipment == name_;
        };
        if (std::ranges::none_of(context_.journal.standing(), broke))
            reading.doubt = fmt::format("{} is not noted to have broken: that it is mended changes nothing", name_);
        return reading;
    }

    /// From the end of the hours before, or from now where there are none.
    NoteReading stays(Instant at, const std::optional<Instant>& until) {
        if (!until) return wrong(fmt::format("until when does {} stay?", name_), "write it like: until 19:10");
        if (*until <= context_.now)
            return wrong(fmt::format("{} is not after now", until_), "write until when, like: until 19:10");
        if (!at_.empty() && *until <= at)
            return wrong(fmt::format("{} is not after {}", until_, at_), "write it like: at 18:00 until 19:10");
        Instant from = at;
        for (const Span& own : hours())
            if (at_.empty() && own.to > from && own.to <= *until) from = own.to;
        return noted(journal::Stays{name_, std::min(from, *until - Minutes{1}), *until});
    }

    /// Back where their hours have not begun again is perhaps meant as hours.
    NoteReading away(Instant at, const std::optional<Instant>& until) {
        NoteReading reading = noted(journal::Left{name_, at, until});
        if (!until) return reading;
        const auto& own = hours();
        const auto next = std::ranges::find_if(own, [&](const Span& one) { return *until <= one.to; });
        if (next == own.end() || next->from <= *until || next->from - *until >= kNightsRest) return reading;
        reading.doubt = fmt::format("{} has no hours at {}, and works from {}; who is back before that: 'comes {} {}'",
                                    name_, until_, clock::clock_text(context_.zone.local(next->from)), name_, until_);
        return reading;
    }

    /// Until the hours that follow begin, or until the time given.
    NoteReading comes(const std::optional<Instant>& until) {
        const auto at = time_near(value_, context_.now + kHalfADay - Minutes{60});  // or up to an hour ago
        if (!at) return refuse();
        std::optional<Instant> to = until_.empty() ? until : time_near(until_, *at + kHalfADay);
        for (const Span& own : hours())
            if (!to && own.to > *at && own.from - *at < kNightsRest) to = std::max(own.from, *at + Minutes{1});
        if (!to)
            return wrong(fmt::format("no hours of {} follow, so until when?", name_),
                         fmt::format("write it like: comes {} {} until 19:10", name_, value_));
        return noted(journal::Stays{name_, *at, *to});
    }

    template <class AboutEntry>
    NoteReading about_entry() {
        const auto entry = number(name_);
        if (!entry || *entry < 1 || *entry > 1e6 || *entry != std::floor(*entry))
            return wrong(fmt::format("'{}' is no number of an entry", name_),
                         "each note says its number when it is made");
        return noted(AboutEntry{static_cast<std::int32_t>(*entry)});
    }

    NoteReading probe(Instant at) {
        std::string figure = value_;
        if (figure.size() > 1 && (figure.back() == 'C' || figure.back() == 'c')) {
            figure.pop_back();
            figure.erase(figure.find_last_not_of(' ') + 1);
        }
        const auto celsius = number(figure);
        if (!celsius || *celsius < -60 || *celsius > 300)
            return wrong(fmt::format("'{}' is no temperature in degrees Celsius", value_),
                         "write it like 21.5, or 21.5 C");
        return noted(journal::Probe{name_, at, std::llround(*celsius * 1000)});
    }

    NoteReading spread(Instant at) {
        const auto& all = context_.expansion.project.activities;
        const auto id = std::ranges::find(all, name_, &Activity::name) - all.begin();
        const Task& task = context_.expansion.tasks[static_cast<std::size_t>(id)];
        const Batch& batch = context_.expansion.batches[task.batch];
        if (!context_.plan.components[batch.component].steps[task.step].cools)
            return wrong(fmt::format("the plan does not say how {} cools", name_),
                         fmt::format("note when it will be ready: ready {} TIME", name_));
        const auto depth = plan_file::parse_length(value_);
        if (!depth.value) return wrong(depth.problem, depth.suggestion);
        NoteReading reading = noted(journal::SpreadOut{name_, at, *depth.value});
        if (!is_noted_to_have_started(name_))
            reading.doubt =
                fmt::format("{} is not noted to have begun: how deep it lies counts only from when it has", name_);
        return reading;
    }

    /// Counted from when the step was to be ready, as far as is known now.
    NoteReading runs_long() {
        const auto minutes = number(value_);
        if (!minutes || *minutes < 1 || *minutes > 1440 || *minutes != std::floor(*minutes))
            return wrong(fmt::format("'{}' is no number of minutes from 1 to 1440", value_), "write it like 40");
        const auto day = replan::situation(context_.plan, context_.expansion, context_.journal, context_.now);
        for (std::size_t id = 0; id < day.steps.size(); ++id) {
            const Activity& activity = context_.expansion.project.activities[id];
            if (activity.name != name_) continue;
            if (day.steps[id].state != replan::State::running)
                return wrong(fmt::format("{} is not under way", name_),
                             fmt::format("note first when it started: started {}", name_));
            // From its planned end, where nothing else has been noted: asked late, that is earlier than now.
            Instant ready = day.steps[id].start + Minutes{activity.duration};
            for (const journal::Entry* entry : context_.journal.standing())
                if (const auto* end = std::get_if<journal::WillEnd>(&entry->event);
                    end != nullptr && end->step == name_)
                    ready = end->at;
            return noted(journal::WillEnd{name_, ready + Minutes{static_cast<std::int64_t>(*minutes)}});
        }
        return wrong(fmt::format("no step is called '{}'", name_), "");
    }

    std::vector<std::string> words_;
    const NoteContext& context_;
    std::string name_;
    std::string value_;
    std::string at_;
    std::string until_;
    Wrong wrong_;
};

}  // namespace

NoteReading read_note(const std::vector<std::string>& words, const NoteContext& context) {
    return Reader(words, context).read();
}

std::string note_help() {
    std::string text = "What can have happened:\n";
    for (const Kind& kind : kKinds) text += fmt::format("  {:<10}{}\n", kind.word, kind.meaning);
    return text +
           "STEP is an id such as custard.1.chill, or the beginning of only one.\n"
           "TIME is like 05:10; without one it is now, or until nobody knows when. What is\n"
           "noted later than it happened says so: 'broken oven at 09:50 until 10:20',\n"
           "'mended oven at 10:05'.";
}

}  // namespace oventide::cli
