// Somebody else's program: everything that it needs came with find_package(oventide).
#include <cstdio>

#include "oventide/schedule.hpp"

int main() {
    oventide::Project project;
    project.activities.resize(1);
    project.activities[0].duration = 5;
    oventide::Schedule schedule{{10}, {}, {{}}, {}};
    oventide::complete(project, schedule);
    std::printf("ends at %d\n", schedule.end[0]);
    return schedule.end[0] == 15 ? 0 : 1;
}
