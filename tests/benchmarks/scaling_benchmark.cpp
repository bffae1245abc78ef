/// scaling_benchmark [LARGEST]: how the time of one backward pass grows with the project, and what everything takes.
///
/// Generated projects of 100, 1,000, 10,000 (and LARGEST, say 50,000) activities: orders side by side, orders that
/// follow each other, capacity so tight that everything queues, and bake days with ovens, hours and holds. Times are of
/// the processor, the shortest of many passes, so that others on the machine count for little. The exponents are those
/// of time against size, from the row above and from 1,000 activities: 1 is linear. Every schedule passes through the
/// checker up to 1,000. A second table has, of 1,000 and of 10,000 activities, the first timetable's goals, those that
/// the search comes to by default, the bounds on them, the seconds until it was first bettered, and those of all.

#include <sys/resource.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <string>

#include "oventide/check.hpp"
#include "oventide/scheduler.hpp"
#include "schedule/model.hpp"
#include "schedule/priority.hpp"
#include "schedule/serial_pass.hpp"
#include "support/random_bake.hpp"

namespace {

using namespace oventide;

double now() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

long peak_megabytes() {
    rusage usage{};
    getrusage(RUSAGE_SELF, &usage);
    return usage.ru_maxrss / 1024;
}

constexpr double kSeconds = 0.3;  ///< of passes over each project

enum class Kind { side_by_side, one_after_other, tight, bake };
constexpr Kind kKinds[] = {Kind::side_by_side, Kind::one_after_other, Kind::tight, Kind::bake};

const char* name_of(Kind kind) {
    switch (kind) {
        case Kind::side_by_side:
            return "orders side by side";
        case Kind::one_after_other:
            return "orders one after the other";
        case Kind::tight:
            return "tight capacity";
        case Kind::bake:
            return "bake days";
    }
    return "";
}

/// Chains of ten steps of a few kinds on a mixer, a bench and hands. An order each hundred minutes, or all due at once.
Project generated(Kind kind, std::int32_t count) {
    if (kind == Kind::bake) {
        support::RandomShape shape;
        shape.activities = count;
        shape.chains = count / 8;
        shape.horizon = 40 * count;
        shape.spread = true;
        shape.calendars = false;
        shape.maximum_lags = false;
        return support::random_bake(shape, 1);
    }
    Project project;
    const std::int32_t wide = kind == Kind::side_by_side ? count / 20 : 2;
    for (const std::int32_t capacity : {wide, wide, kind == Kind::tight ? 1 : wide}) {
        Resource resource;
        resource.name = "resource";
        resource.capacity = {{0, std::max(1, capacity)}};
        project.resources.push_back(resource);
    }
    project.horizon = 20 * count + 1'000;
    for (ActivityId id = 0; id < count; ++id) {
        Activity activity;
        activity.name = std::to_string(id);
        activity.duration = 5 + id % 4 * 5;
        Demand demand;
        demand.choices = {kind == Kind::tight ? 2 : id % 3};
        activity.demands.push_back(demand);
        const bool last = id % 10 == 9 || id + 1 == count;
        if (!last) project.lags.push_back({id, id + 1, activity.duration, kNoPromise});
        const Time due = kind == Kind::one_after_other ? project.horizon - (count - id) / 10 * 100 : project.horizon;
        if (last) activity.due = due;
        project.activities.push_back(activity);
    }
    project.goals = {Goal::alarm, Goal::waiting};
    return project;
}

struct Taken {
    double model = 0;
    double pass = 0;
    bool found = false;
};

Taken measure(Kind kind, std::int32_t count) {
    const Project project = generated(kind, count);
    Taken taken;
    const double start = now();
    const scheduling::Model model = scheduling::make_model(project);
    if (!model.contradiction.empty()) return taken;
    const auto list = scheduling::list_by(model, priorities(model, scheduling::Rule::latest_finish));
    taken.model = now() - start;
    scheduling::SerialPass pass(model);
    taken.pass = 1e9;
    const double begin = now();
    while (now() - begin < kSeconds) {
        auto copy = list;
        const double pass_begin = now();
        taken.found = pass.run(copy, 4 * count);
        taken.pass = std::min(taken.pass, now() - pass_begin);
    }
    if (taken.found && count <= 1'000) taken.found = check(project, pass.schedule()).empty();
    return taken;
}

std::string text_of(const Value& value, std::size_t goals) {
    std::string text;
    for (std::size_t goal = 0; goal < goals; ++goal) text += (goal > 0 ? " / " : "") + std::to_string(value[goal]);
    return text;
}

/// The first timetable, and what the search makes of it by default.
void print_bettered(Kind kind, std::int32_t count) {
    const Project project = generated(kind, count);
    SearchOptions first;
    first.schedules = 1;
    first.nodes = 0;
    const Outcome before = solve(project, first);
    const double begin = now();
    double bettered = 0;
    SearchOptions usual;
    usual.progress = [&](const SearchOptions::Progress& progress) {
        if (bettered == 0 && progress.best && *progress.best < before.value) bettered = now() - begin;
    };
    const Outcome after = solve(project, usual);
    std::printf("| %-26s | %10d | %26s | %26s | %26s | %8s | %6.2f |\n", name_of(kind), count,
                text_of(before.value, project.goals.size()).c_str(), text_of(after.value, project.goals.size()).c_str(),
                text_of(after.bound, project.goals.size()).c_str(),
                bettered > 0 ? std::to_string(bettered).substr(0, 4).c_str() : "", now() - begin);
    std::fflush(stdout);
}

/// The exponent between two sizes, or nothing where there is no first one.
std::string exponent(double time, std::int32_t size, double time_before, std::int32_t size_before) {
    if (size_before == 0 || size_before == size) return "";
    char text[16];
    std::snprintf(text, sizeof text, "%.2f", std::log(time / time_before) / std::log(double(size) / size_before));
    return text;
}

}  // namespace

int main(int argc, char** argv) {
    const std::int32_t largest = argc > 1 ? std::atoi(argv[1]) : 10'000;
    std::printf(
        "| project                    | activities | set-up ms | pass ms   | exponent | from 1,000 | found |\n");
    for (const Kind kind : kKinds) {
        double before = 0;
        std::int32_t size_before = 0;
        double at_thousand = 0;
        for (std::int32_t count = 100; count <= largest;
             count = count * 10 > largest && count < largest ? largest : count * 10) {
            const Taken taken = measure(kind, count);
            if (count == 1'000) at_thousand = taken.pass;
            std::printf("| %-26s | %10d | %9.2f | %9.3f | %8s | %10s | %-5s |\n", name_of(kind), count,
                        1e3 * taken.model, 1e3 * taken.pass, exponent(taken.pass, count, before, size_before).c_str(),
                        exponent(taken.pass, count, at_thousand, at_thousand > 0 ? 1'000 : 0).c_str(),
                        taken.found ? "yes" : "NO");
            std::fflush(stdout);
            before = taken.pass;
            size_before = count;
        }
    }
    std::printf(
        "\n| project                    | activities |                      first |                    by default |"
        "                     bound | bettered | in all |\n");
    for (const Kind kind : kKinds)
        for (const std::int32_t count : {1'000, 10'000})
            if (count <= largest) print_bettered(kind, count);
    std::printf("peak memory: %ld MB\n", peak_megabytes());
}
