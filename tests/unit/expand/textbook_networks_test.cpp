/// Published project networks written as plans: each activity is a step, each day or week a minute, collected when the
/// project is over. The start windows of the expansion are the book's earliest and latest starts.
///
/// The book's durations are in days or weeks; what was only recalled, not read, is said beside it.

#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "network/network.hpp"
#include "support/expansion_text.hpp"
#include "support/plan_text.hpp"

namespace oventide::test {
namespace {

struct Job {
    std::string name;
    Time lasts;
    std::string after;  ///< "A,B"
    Time earliest;
    Time latest;
    std::string starts_with = {};  ///< a job in the book's start-to-start relation, lag 0: starts no earlier than it
};

/// ["A", "B"] for "A,B".
std::string list(const std::string& names) {
    std::string result = "[";
    for (const char c : names) result += c == ',' ? std::string(", ") : '"' + std::string(1, c) + '"';
    return result + "]";
}

/// A start-to-start relation is written with a moment: 'on A' takes no time, and A follows it at once.
std::string moment_of(const std::string& name) { return "on " + name; }

std::string step_of(const Job& job, bool has_moment) {
    std::string before = list(job.after);
    if (!job.starts_with.empty()) {
        before.pop_back();
        before += (job.after.empty() ? "\"" : ", \"") + moment_of(job.starts_with) + "\"]";
    }
    const std::string takes = "takes = \"" + std::to_string(job.lasts) + " min\"";
    if (!has_moment) return "{ name = \"" + job.name + "\", " + takes + ", after = " + before + " },\n";
    return "{ name = \"" + moment_of(job.name) + "\", takes = \"0 min\", after = " + before + " },\n" + "{ name = \"" +
           job.name + "\", " + takes + ", at_once = true },\n";
}

std::string plan_text(const std::vector<Job>& jobs, Time length) {
    std::string steps;
    for (const Job& job : jobs) {
        bool has_moment = false;
        for (const Job& other : jobs) has_moment = has_moment || other.starts_with == job.name;
        steps += step_of(job, has_moment);
    }
    const std::string minute = (length < 10 ? "0" : "") + std::to_string(length);
    return "timezone = \"UTC\"\nfrom = 2026-10-03T00:00:00\n[kitchen]\n[[kitchen.crew]]\nname = \"Ada\"\n"
           "hours = \"00:00-24:00\"\n[[order]]\nname = \"project\"\nmargin = \"0 min\"\npickup = 2026-10-03T00:" +
           minute + ":00\nitems = { job = 1 }\n[[component]]\nname = \"job\"\nmakes = 1\nsteps = [\n" + steps + "]\n";
}

struct Book {
    std::string source;
    Time length;
    std::vector<Job> jobs;
};

const std::vector<Book>& books() {
    static const std::vector<Book> all = {
        {"Milwaukee Paper, also General Foundry (Heizer and Render; Render and Stair): the whole table read",
         15,
         {{"A", 2, "", 0, 0},
          {"B", 3, "", 0, 1},
          {"C", 2, "A", 2, 2},
          {"D", 4, "B", 3, 4},
          {"E", 4, "C", 4, 4},
          {"F", 3, "C", 4, 10},
          {"G", 5, "D,E", 8, 8},
          {"H", 2, "F,G", 13, 13}}},
        {"Daugherty Porta-Vac (Anderson, Sweeney and Williams, table 9.4 and figure 9.12): read",
         17,
         {{"A", 6, "", 0, 0},
          {"B", 2, "", 0, 7},
          {"C", 3, "A", 6, 10},
          {"D", 5, "A", 6, 7},
          {"E", 3, "A", 6, 6},
          {"F", 2, "C", 9, 13},
          {"G", 3, "D", 11, 12},
          {"H", 4, "B,E", 9, 9},
          {"I", 2, "H", 13, 13},
          {"J", 2, "F,G,I", 15, 15}}},
        // Earliest and latest starts follow from the published critical path and slacks (D, G, H, M 4; I 2; K 1).
        {"Reliable Construction (Hillier and Lieberman, PERT/CPM): means read, optimistic and pessimistic recalled",
         44,
         {{"A", 2, "", 0, 0},
          {"B", 4, "A", 2, 2},
          {"C", 10, "B", 6, 6},
          {"D", 6, "C", 16, 20},
          {"E", 4, "C", 16, 16},
          {"F", 5, "E", 20, 20},
          {"G", 7, "D", 22, 26},
          {"H", 9, "E,G", 29, 33},
          {"I", 7, "C", 16, 18},
          {"J", 8, "F,I", 25, 25},
          {"K", 4, "J", 33, 34},
          {"L", 5, "J", 33, 33},
          {"M", 2, "H", 38, 42},
          {"N", 6, "K,L", 38, 38}}},
        {"Hendrickson, Project Management for Construction, chapter 10, nine activities: read",
         30,
         {{"A", 4, "", 0, 0},
          {"B", 3, "", 0, 9},
          {"C", 8, "A", 4, 4},
          {"D", 7, "A", 4, 15},
          {"E", 9, "B,C", 12, 13},
          {"F", 12, "B,C", 12, 12},
          {"G", 2, "D,E", 21, 22},
          {"H", 5, "D,E", 21, 25},
          {"I", 6, "F,G", 24, 24}}},
        // Data read; earliest and latest starts computed, since the printed result was out of reach.
        {"Classroom slides, precedence diagram with start-to-start relations: A-B, G-J, I-K",
         38,
         {{"A", 2, "", 0, 0},
          {"B", 10, "", 0, 4, "A"},
          {"C", 13, "A", 2, 10},
          {"D", 12, "A", 2, 2},
          {"E", 12, "B", 10, 15},
          {"F", 7, "B", 10, 14},
          {"G", 10, "D", 14, 23},
          {"H", 16, "D", 14, 14},
          {"I", 6, "F", 17, 21},
          {"J", 12, "C", 15, 23, "G"},
          {"K", 5, "", 17, 22, "I"},
          {"L", 8, "E,I,K", 23, 27},
          {"M", 5, "H", 30, 30},
          {"N", 3, "G,J,L,M", 35, 35}}},
    };
    return all;
}

TEST_CASE("earliest and latest starts of published networks, through the plan reader") {
    for (const Book& book : books()) {
        CAPTURE(book.source);
        const Expansion expansion = expansion_of(plan_text(book.jobs, book.length));
        const auto windows = network::start_windows(expansion.project, network::all_lags(expansion.project));
        REQUIRE(windows.contradiction.empty());
        for (const Job& job : book.jobs) {
            CAPTURE(job.name);
            std::string name = "job.1." + job.name;
            name.back() = static_cast<char>(name.back() - 'A' + 'a');
            const ActivityId id = activity_named(expansion, name);
            CHECK(windows.earliest[id] == job.earliest);
            CHECK(windows.latest[id] == job.latest);
        }
    }
}

TEST_CASE("a minute less than the published length is impossible") {
    for (const Book& book : books()) {
        CAPTURE(book.source);
        const Expansion expansion = expansion_of(plan_text(book.jobs, book.length - 1));
        CHECK_FALSE(
            network::start_windows(expansion.project, network::all_lags(expansion.project)).contradiction.empty());
    }
}

// The same slides, "CPM" version: path lengths read, 41 along A-B-F-I-K-L-N.
TEST_CASE("the critical path of a published network is the steps that cannot move") {
    const std::vector<Job> jobs = {{"A", 2, "", 0, 0},     {"B", 10, "A", 0, 0},   {"C", 13, "A", 0, 0},
                                   {"D", 12, "A", 0, 0},   {"E", 12, "B", 0, 0},   {"F", 7, "B", 0, 0},
                                   {"G", 10, "D", 0, 0},   {"H", 16, "D", 0, 0},   {"I", 6, "F", 0, 0},
                                   {"J", 12, "C,G", 0, 0}, {"K", 5, "I", 0, 0},    {"L", 8, "E,K", 0, 0},
                                   {"M", 5, "H", 0, 0},    {"N", 3, "J,L,M", 0, 0}};
    const Expansion expansion = expansion_of(plan_text(jobs, 41));
    const auto windows = network::start_windows(expansion.project, network::all_lags(expansion.project));
    REQUIRE(windows.contradiction.empty());
    std::string critical;
    for (const Job& job : jobs) {
        std::string name = "job.1." + job.name;
        name.back() = static_cast<char>(name.back() - 'A' + 'a');
        const ActivityId id = activity_named(expansion, name);
        if (windows.earliest[id] == windows.latest[id]) critical += job.name;
    }
    CHECK(critical == "ABFIKLN");
}

}  // namespace
}  // namespace oventide::test
