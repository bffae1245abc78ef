#include "network/network.hpp"

#include <doctest/doctest.h>

#include <numeric>
#include <string>

using namespace oventide;

namespace {

struct Row {
    char name;
    Time duration;
    std::string after;  ///< finish to start
    Time earliest;
    Time latest;
};

Project network_of(const std::vector<Row>& rows, Time length) {
    Project project;
    project.horizon = length;
    for (const Row& row : rows) {
        Activity activity;
        activity.name = row.name;
        activity.duration = row.duration;
        project.activities.push_back(activity);
    }
    for (std::size_t k = 0; k < rows.size(); ++k)
        for (const char before : rows[k].after)
            project.lags.push_back(
                {before - 'A', static_cast<ActivityId>(k), rows[static_cast<std::size_t>(before - 'A')].duration, 0});
    return project;
}

void check_windows(const std::vector<Row>& rows, Time length, std::vector<Lag> more = {}) {
    Project project = network_of(rows, length);
    project.lags.insert(project.lags.end(), more.begin(), more.end());
    const auto windows = network::start_windows(project, network::all_lags(project));
    REQUIRE(windows.contradiction.empty());
    for (std::size_t k = 0; k < rows.size(); ++k) {
        CAPTURE(rows[k].name);
        CHECK(windows.earliest[k] == rows[k].earliest);
        CHECK(windows.latest[k] == rows[k].latest);
    }
    // The length is the shortest possible: a minute less contradicts itself.
    project.horizon = length - 1;
    CHECK_FALSE(network::start_windows(project, network::all_lags(project)).contradiction.empty());
}

Project bare(std::int32_t count, Time horizon) {
    Project project;
    project.horizon = horizon;
    project.activities.resize(static_cast<std::size_t>(count));
    return project;
}

}  // namespace

TEST_CASE("General Foundry: the whole table of early and late starts (Heizer and Render; Render and Stair)") {
    check_windows({{'A', 2, "", 0, 0},
                   {'B', 3, "", 0, 1},
                   {'C', 2, "A", 2, 2},
                   {'D', 4, "B", 3, 4},
                   {'E', 4, "C", 4, 4},
                   {'F', 3, "C", 4, 10},
                   {'G', 5, "DE", 8, 8},
                   {'H', 2, "FG", 13, 13}},
                  15);
}

TEST_CASE("Daugherty Porta-Vac: the whole table (Anderson, Sweeney, Williams, table 9.4)") {
    check_windows({{'A', 6, "", 0, 0},
                   {'B', 2, "", 0, 7},
                   {'C', 3, "A", 6, 10},
                   {'D', 5, "A", 6, 7},
                   {'E', 3, "A", 6, 6},
                   {'F', 2, "C", 9, 13},
                   {'G', 3, "D", 11, 12},
                   {'H', 4, "BE", 9, 9},
                   {'I', 2, "H", 13, 13},
                   {'J', 2, "FGI", 15, 15}},
                  17);
}

TEST_CASE("Start-to-start links: classroom set, times computed again in check-values 3.3") {
    check_windows({{'A', 2, "", 0, 0},
                   {'B', 10, "", 0, 4},
                   {'C', 13, "A", 2, 10},
                   {'D', 12, "A", 2, 2},
                   {'E', 12, "B", 10, 15},
                   {'F', 7, "B", 10, 14},
                   {'G', 10, "D", 14, 23},
                   {'H', 16, "D", 14, 14},
                   {'I', 6, "F", 17, 21},
                   {'J', 12, "C", 15, 23},
                   {'K', 5, "", 17, 22},
                   {'L', 8, "EK", 23, 27},
                   {'M', 5, "H", 30, 30},
                   {'N', 3, "JLM", 35, 35}},
                  38, {{0, 1, 0, 0}, {6, 9, 0, 0}, {8, 10, 0, 0}, {8, 11, 6, 0}, {6, 13, 10, 0}});
}

TEST_CASE("Minimum and maximum lags: earliest starts of sm_j10 PSP1 (check-values 3.3)") {
    Project project = bare(12, 60);
    project.lags = {{0, 1, 0, 0},   {0, 2, 0, 0},  {0, 3, 0, 0},  {0, 4, 0, 0},  {1, 9, 9, 0},   {1, 7, 1, 0},
                    {1, 8, 8, 0},   {1, 10, 2, 0}, {2, 8, 24, 0}, {3, 10, 4, 0}, {3, 7, 8, 0},   {4, 10, 0, 0},
                    {4, 9, 0, 0},   {4, 5, 7, 0},  {5, 6, 0, 0},  {6, 11, 5, 0}, {7, 11, 10, 0}, {8, 1, -22, 0},
                    {8, 2, -34, 0}, {8, 11, 2, 0}, {9, 11, 6, 0}, {10, 11, 1, 0}};
    const auto windows = network::start_windows(project, project.lags);
    CHECK(windows.earliest == std::vector<Time>{0, 2, 0, 0, 0, 7, 7, 8, 24, 11, 4, 26});
    CHECK(network::longest_paths(12, project.lags, 0) == windows.earliest);
}

//      30          40
//  mix ----> chill ----> glaze      and glaze at most 60 after mix: 10 too long
//   ^___________-60________|
TEST_CASE("A cycle that is too long is named, lag by lag") {
    Project project = bare(4, 1000);
    project.lags = {{3, 0, 5, 10}, {0, 1, 30, 11}, {1, 2, 40, 12}, {2, 0, -60, 13}};
    const auto windows = network::start_windows(project, project.lags);
    REQUIRE(windows.contradiction.size() == 3);
    Time length = 0;
    for (std::size_t k = 0; k < 3; ++k) {
        length += windows.contradiction[k].lag;
        CHECK(windows.contradiction[k].to == windows.contradiction[(k + 1) % 3].from);
    }
    CHECK(length == 10);
}

TEST_CASE("A path that is too long for its window is named from the release to the due") {
    Project project = bare(3, 1000);
    project.activities[0].release = 50;
    project.activities[2].duration = 10;
    project.activities[2].due = 129;
    project.lags = {{0, 1, 30, 1}, {1, 2, 40, 2}};
    CHECK(network::start_windows(project, project.lags).contradiction == project.lags);
    project.activities[2].due = 130;
    CHECK(network::start_windows(project, project.lags).contradiction.empty());
}

TEST_CASE("What may wait so long ties its users to it") {
    Project project = bare(2, 100);
    project.activities[0].duration = 10;
    project.activities[0].stretchable = true;
    project.activities[0].keep = 15;
    project.activities[0].users = {1};
    project.activities[1].release = 60;
    project.lags = {{0, 1, 10, 0}};
    const auto windows = network::start_windows(project, network::all_lags(project));
    CHECK(windows.earliest[0] == 35);  // ready at 45, kept till 60
    CHECK(windows.latest[0] == 90);
}

//  a -5-> b -0-> c with c at most 5 after a: one block; d follows freely
TEST_CASE("Rigid blocks") {
    const std::vector<Lag> lags = {{0, 1, 5, 0}, {1, 2, 0, 0}, {2, 0, -5, 0}, {2, 3, 7, 0}};
    Project project = bare(4, 100);
    const auto windows = network::start_windows(project, lags);
    const auto blocks = network::rigid_blocks(lags, windows.earliest);
    CHECK(blocks.count == 2);
    CHECK(blocks.block == std::vector<std::int32_t>{0, 0, 0, 1});
    CHECK(blocks.offset == std::vector<Time>{0, 5, 5, 0});
}

TEST_CASE("Ten thousand activities in one long chain of maximum lags take no longer than they must") {
    Project project = bare(10'000, 1'000'000);
    for (ActivityId id = 0; id + 1 < 10'000; ++id) {
        // Written against the direction of time, so that a naive order would need a round for each.
        project.lags.insert(project.lags.end(), {{9'998 - id, 9'999 - id, 10, 0}, {9'999 - id, 9'998 - id, -20, 0}});
    }
    const auto windows = network::start_windows(project, project.lags);
    CHECK(windows.earliest[9'999] == 99'990);
    CHECK(windows.latest[0] == 1'000'000 - 99'990);
}
