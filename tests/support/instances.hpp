#pragma once
/// Reads open benchmark instances into projects. None is kept in this repository: the folder is given from outside.
///
/// PSPLIB .sm: Kolisch, Sprecher (1996). ProGen/max .sch: Schwindt; Kolisch, Schwindt, Sprecher (1999).
/// The makespan to be minimised becomes "everything done by the horizon, the earliest start as late as possible":
/// makespan = horizon - earliest start. Activity 0 is the dummy source, the last the dummy sink.

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "oventide/project.hpp"
#include "oventide/schedule.hpp"

namespace oventide::support {

struct Instance {
    std::string name;  ///< the file's name
    Project project;
};

/// What is known of an instance: bounds of the shortest makespan (equal when it is known), or that there is none.
struct Known {
    Time lower = 0;
    Time upper = 0;
    bool unsat = false;
};

std::optional<Project> read_sm(std::string_view text);
std::optional<Project> read_sch(std::string_view text);

/// Every .sm and .sch (any case) of a folder, sorted by name; empty where the folder is not there.
std::vector<Instance> read_folder(const std::string& folder);

/// optimum.csv of a folder, by file name.
std::map<std::string, Known> read_known(const std::string& folder);

/// The folder of the benchmark sets: the argument if any, else the environment's OVENTIDE_BENCHMARKS, else empty.
std::string benchmark_folder(int argc, char** argv);

Time makespan(const Project& project, const Schedule& schedule);

/// The longest path from source to sink, resources left aside.
Time critical_path(const Project& project);

/// The same project with every time multiplied.
Project scaled(Project project, Time factor);

}  // namespace oventide::support
