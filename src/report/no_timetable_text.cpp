/// There is no timetable: which promises contradict each other, or what could not be placed and why.

#include <fmt/format.h>

#include <algorithm>

#include "oventide/report.hpp"
#include "report/conditions.hpp"

namespace oventide::report {
namespace {

class Answer {
public:
    Answer(const Subject& subject, const Words& words, const Days& days, Page& page)
        : subject_(subject), words_(words), days_(days), page_(page) {}

    void verdict() {
        page_.blank();
        page_.prominent("NO TIMETABLE");
        page_.paragraph(subject_.outcome.infeasible
                            ? "There is none: what the plan asks for cannot all be had, however it is arranged."
                            : "None was found in the time that was allowed for looking; that is no proof that there "
                              "is none.",
                        2);
    }

    /// The short of it; the long of it is another command's.
    void why() {
        add_why_not(subject_, *subject_.why, words_, days_, page_);
        if (subject_.pickups != nullptr && !subject_.pickups->ways.empty()) {
            const ConditionWords say(subject_, words_, days_);
            page_.heading("Possible at the earliest, the other orders as they are");
            for (const ways::WayOut& way : subject_.pickups->ways)
                page_.paragraph(
                    "- " + say.text(way.change) + (way.least ? "" : "; that earlier will not do is not proven"), 2, 2);
        }
    }

    void where_to_look() {
        const bool named = subject_.sources != nullptr && !subject_.sources->files.empty();
        page_.blank();
        page_.paragraph("What would help: oventide ways " +
                            (named ? words_.name(subject_.sources->files.front().path) : std::string("PLAN")),
                        2, 2);
    }

    void contradiction() {
        if (subject_.outcome.contradiction.empty()) return;
        page_.heading("These promises contradict each other");
        for (const Lag& lag : subject_.outcome.contradiction) {
            if (lag.promise != kNoPromise) {
                const Promise& promise = subject_.expansion.promises[lag.promise];
                page_.paragraph("- " + words_.name(promise.text) + in_brackets(words_.place(promise.place)), 2, 2);
            } else {
                page_.paragraph("- " + between(lag), 2, 2);
            }
        }
    }

    void obstacles() {
        if (subject_.outcome.obstacles.empty()) return;
        page_.heading("What could not be placed, the likeliest trouble first");
        for (const Obstacle& obstacle : subject_.outcome.obstacles) {
            page_.paragraph(
                "- " + words_.task(obstacle.activity) + in_brackets(words_.place(place_of(obstacle.activity))), 2, 2);
            page_.paragraph(window_text(obstacle), 4);
            page_.paragraph(cause_text(obstacle), 4);
            due_to(obstacle.activity);
        }
    }

private:
    Instant instant(Time at) const { return subject_.expansion.origin + Minutes{at}; }

    static std::string in_brackets(const std::string& text) { return text.empty() ? "" : " (" + text + ")"; }

    std::string between(const Lag& lag) const {
        const Minutes apart{std::abs(lag.lag)};
        const std::string from = words_.task(lag.from);
        const std::string to = words_.task(lag.to);
        return lag.lag >= 0
                   ? fmt::format("'{}' starts at least {} after the start of '{}'", to, duration_text(apart), from)
                   : fmt::format("'{}' starts at most {} after the start of '{}'", from, duration_text(apart), to);
    }

    Place place_of(ActivityId id) const {
        const Task& task = subject_.expansion.tasks[id];
        return subject_.plan.components[subject_.expansion.batches[task.batch].component].steps[task.step].place;
    }

    std::string window_text(const Obstacle& obstacle) const {
        const Minutes takes{subject_.expansion.project.activities[obstacle.activity].duration};
        if (obstacle.latest < obstacle.earliest)
            return fmt::format("takes {}; would have to start by {}, but cannot before {}", duration_text(takes),
                               days_.day_time(instant(obstacle.latest)), days_.day_time(instant(obstacle.earliest)));
        return fmt::format("takes {}; would have to start between {} and {}", duration_text(takes),
                           days_.day_time(instant(obstacle.earliest)),
                           days_.time_from(instant(obstacle.latest), instant(obstacle.earliest)));
    }

    std::string cause_text(const Obstacle& obstacle) const {
        const std::string what = obstacle.resource >= 0 ? words_.resource(obstacle.resource) : "";
        std::vector<std::string> holders;
        for (const ActivityId id : obstacle.holders) holders.push_back(words_.task(id));
        const std::string held = holders.empty() ? "" : "; in that window it has: " + joined(holders, "; ");
        switch (obstacle.cause) {
            case Obstacle::Cause::window:
                return "no time is left between what comes before and what comes after it";
            case Obstacle::Cause::resource:
                return (is_person(obstacle.resource) ? what + " is not free or not there long enough"
                                                     : what + " is not free long enough, or closed") +
                       held;
            case Obstacle::Cause::state:
                return (holders.empty()
                            ? what + " cannot be had at the right heat in that window: closed, or not yet hot"
                            : what + " is at another setting, or still heating or cooling") +
                       held;
            case Obstacle::Cause::start_up:
                return "nobody is there to switch on " + what + " in time, or it would stand alone for too long" + held;
        }
        return "";
    }

    bool is_person(ResourceId id) const { return id >= 0 && subject_.expansion.resources[id].person.has_value(); }

    /// What the cook wrote that leaves the step no more room than that.
    void due_to(ActivityId id) {
        constexpr std::size_t kMost = 6;
        const Activity& activity = subject_.expansion.project.activities[id];
        std::vector<PromiseId> promises{activity.due_promise, activity.keep_promise};
        for (const Lag& lag : subject_.expansion.project.lags)
            if (lag.from == id || lag.to == id) promises.push_back(lag.promise);
        std::vector<std::string> texts;
        for (const PromiseId promise_id : promises) {
            if (promise_id == kNoPromise) continue;
            const Promise& promise = subject_.expansion.promises[promise_id];
            const bool plain = promise.kind == Promise::Kind::order || promise.kind == Promise::Kind::batch_order ||
                               promise.kind == Promise::Kind::load_order;
            const std::string text = words_.name(promise.text) + in_brackets(words_.place(promise.place));
            if (!plain && std::find(texts.begin(), texts.end(), text) == texts.end()) texts.push_back(text);
        }
        if (texts.size() > kMost) texts.resize(kMost);
        if (!texts.empty()) page_.paragraph("bound by: " + joined(texts, "; "), 4, 2);
    }

    const Subject& subject_;
    const Words& words_;
    const Days& days_;
    Page& page_;
};

}  // namespace

std::string no_timetable_text(const Subject& subject, const Style& style) {
    const Words words(subject, style.ascii);
    Span span = subject.why != nullptr ? span_with_room(subject) : span_of(subject);
    for (const Obstacle& obstacle : subject.outcome.obstacles) {
        span.from =
            std::min(span.from, subject.expansion.origin + Minutes{std::min(obstacle.earliest, obstacle.latest)});
        span.to = std::max(span.to, subject.expansion.origin + Minutes{std::max(obstacle.earliest, obstacle.latest)});
    }
    const Days days(subject.zone, span);
    Page page(style);
    page.title(words.name(subject.plan.title), words.name(subject.plan.timezone));
    Answer answer(subject, words, days, page);
    answer.verdict();
    if (subject.why != nullptr && subject.why->proven) {
        answer.why();
    } else {
        answer.contradiction();
        answer.obstacles();
    }
    if (subject.why != nullptr) answer.where_to_look();
    return page.text();
}

}  // namespace oventide::report
