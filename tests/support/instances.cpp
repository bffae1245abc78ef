#include "support/instances.hpp"

#include <algorithm>
#include <cctype>
#include <charconv>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

namespace oventide::support {
namespace {

std::vector<std::string_view> lines_of(std::string_view text) {
    std::vector<std::string_view> lines;
    while (!text.empty()) {
        const auto end = text.find('\n');
        lines.push_back(text.substr(0, end));
        text = end == std::string_view::npos ? std::string_view{} : text.substr(end + 1);
    }
    return lines;
}

/// Every integer of a line, in order; whatever stands between them is skipped.
std::vector<Time> numbers_of(std::string_view line) {
    std::vector<Time> numbers;
    const char* at = line.data();
    const char* const end = line.data() + line.size();
    while (at != end) {
        Time number = 0;
        const auto [next, error] = std::from_chars(at, end, number);
        if (error == std::errc{}) {
            numbers.push_back(number);
            at = next;
        } else {
            ++at;
        }
    }
    return numbers;
}

void add_resources(Project& project, const std::vector<Time>& capacities) {
    for (std::size_t r = 0; r < capacities.size(); ++r) {
        Resource resource;
        resource.name = "R" + std::to_string(r + 1);
        resource.capacity = {{0, capacities[r]}};
        project.resources.push_back(resource);
    }
}

void add_activity(Project& project, Time duration, const Time* demand, std::size_t resources) {
    Activity activity;
    activity.name = std::to_string(project.activities.size());
    activity.duration = duration;
    for (std::size_t r = 0; r < resources; ++r) {
        if (demand[r] == 0 || duration == 0) continue;
        Demand use;
        use.choices = {static_cast<ResourceId>(r)};
        use.amount = demand[r];
        activity.demands.push_back(use);
    }
    project.activities.push_back(activity);
}

/// Long enough for everything one after the other, each as long as its longest lag.
void finish(Project& project) {
    std::vector<Time> longest(project.activities.size());
    for (std::size_t id = 0; id < longest.size(); ++id) longest[id] = project.activities[id].duration;
    for (const Lag& lag : project.lags) longest[lag.from] = std::max(longest[lag.from], lag.lag);
    for (const Time length : longest) project.horizon += length;
    for (Activity& activity : project.activities) activity.due = project.horizon;
    project.goals = {Goal::alarm};
}

std::string lower(std::string text) {
    std::transform(text.begin(), text.end(), text.begin(), [](unsigned char c) { return std::tolower(c); });
    return text;
}

std::string contents(const std::filesystem::path& path) {
    std::ifstream file(path, std::ios::binary);
    std::ostringstream text;
    text << file.rdbuf();
    return text.str();
}

/// "sm_j10 PSP2" before "PSP10": digits count as numbers.
bool natural_less(const std::string& a, const std::string& b) {
    return a.size() != b.size() ? a.size() < b.size() : a < b;
}

}  // namespace

std::optional<Project> read_sm(std::string_view text) {
    Project project;
    std::vector<std::vector<Time>> precedence;
    std::vector<std::vector<Time>> requests;
    std::vector<Time> capacities;
    std::vector<std::vector<Time>>* section = nullptr;
    std::vector<std::vector<Time>> rest;
    for (const std::string_view line : lines_of(text)) {
        if (line.starts_with("PRECEDENCE")) {
            section = &precedence;
        } else if (line.starts_with("REQUESTS")) {
            section = &requests;
        } else if (line.starts_with("RESOURCEAVAIL")) {
            section = &rest;
        } else if (section && line.find_first_of("jRN") == std::string_view::npos) {
            if (auto numbers = numbers_of(line); !numbers.empty()) section->push_back(std::move(numbers));
        }
    }
    if (precedence.empty() || precedence.size() != requests.size() || rest.empty()) return std::nullopt;
    capacities = rest.front();
    add_resources(project, capacities);
    const Time count = static_cast<Time>(requests.size());
    for (const auto& row : requests) {
        if (row.size() != 3 + capacities.size()) return std::nullopt;
        add_activity(project, row[2], row.data() + 3, capacities.size());
    }
    for (const auto& row : precedence) {
        if (row.size() < 3 || row.size() != 3 + static_cast<std::size_t>(row[2])) return std::nullopt;
        for (std::size_t k = 3; k < row.size(); ++k) {
            if (row[k] < 1 || row[k] > count || row[0] < 1 || row[0] > count) return std::nullopt;
            project.lags.push_back({row[0] - 1, row[k] - 1, project.activities[row[0] - 1].duration, kNoPromise});
        }
    }
    finish(project);
    return project;
}

std::optional<Project> read_sch(std::string_view text) {
    Project project;
    const auto lines = lines_of(text);
    if (lines.empty()) return std::nullopt;
    const auto head = numbers_of(lines[0]);
    if (head.size() < 2 || head[0] < 0 || head[1] < 0) return std::nullopt;
    const std::size_t count = static_cast<std::size_t>(head[0]) + 2;
    const auto resources = static_cast<std::size_t>(head[1]);
    if (lines.size() < 2 * count + 2) return std::nullopt;
    const auto capacities = numbers_of(lines[2 * count + 1]);
    if (capacities.size() != resources) return std::nullopt;
    add_resources(project, capacities);
    for (std::size_t id = 0; id < count; ++id) {
        const auto row = numbers_of(lines[1 + count + id]);
        if (row.size() != 3 + resources) return std::nullopt;
        add_activity(project, row[2], row.data() + 3, resources);
    }
    for (std::size_t id = 0; id < count; ++id) {
        const auto row = numbers_of(lines[1 + id]);
        if (row.size() < 3) return std::nullopt;
        const auto successors = static_cast<std::size_t>(row[2]);
        if (row.size() != 3 + 2 * successors) return std::nullopt;
        for (std::size_t k = 0; k < successors; ++k)
            project.lags.push_back({static_cast<ActivityId>(id), row[3 + k], row[3 + successors + k], kNoPromise});
    }
    finish(project);
    return project;
}

std::vector<Instance> read_folder(const std::string& folder) {
    std::vector<Instance> instances;
    std::error_code error;
    for (const auto& entry : std::filesystem::directory_iterator(folder, error)) {
        const std::string extension = lower(entry.path().extension().string());
        if (extension != ".sm" && extension != ".sch") continue;
        const std::string text = contents(entry.path());
        auto project = extension == ".sm" ? read_sm(text) : read_sch(text);
        if (project) instances.push_back({entry.path().filename().string(), std::move(*project)});
    }
    std::sort(instances.begin(), instances.end(),
              [](const Instance& a, const Instance& b) { return natural_less(a.name, b.name); });
    return instances;
}

std::map<std::string, Known> read_known(const std::string& folder) {
    std::map<std::string, Known> known;
    std::ifstream file(folder + "/optimum.csv");
    std::string line;
    std::getline(file, line);
    while (std::getline(file, line)) {
        const auto comma = line.find(',');
        if (comma == std::string::npos) continue;
        const std::string value = line.substr(comma + 1);
        Known& entry = known[line.substr(0, comma)];
        if (value.starts_with("unsat")) {
            entry.unsat = true;
            continue;
        }
        entry.lower = entry.upper = std::atoi(value.c_str());
        if (const auto dots = value.find(".."); dots != std::string::npos)
            entry.upper = std::atoi(value.c_str() + dots + 2);
    }
    return known;
}

std::string benchmark_folder(int argc, char** argv) {
    if (argc > 1) return argv[1];
    const char* folder = std::getenv("OVENTIDE_BENCHMARKS");
    return folder ? folder : "";
}

Time makespan(const Project& project, const Schedule& schedule) {
    return project.horizon - *std::min_element(schedule.start.begin(), schedule.start.end());
}

Time critical_path(const Project& project) {
    std::vector<Time> start(project.activities.size(), 0);
    for (bool changed = true; changed;) {
        changed = false;
        for (const Lag& lag : project.lags) {
            if (start[lag.from] + lag.lag <= start[lag.to]) continue;
            start[lag.to] = start[lag.from] + lag.lag;
            if (start[lag.to] > project.horizon) return kNever;
            changed = true;
        }
    }
    return start.back();
}

Project scaled(Project project, Time factor) {
    for (Activity& activity : project.activities) {
        activity.duration *= factor;
        if (activity.due < kNever) activity.due *= factor;
    }
    for (Lag& lag : project.lags) lag.lag *= factor;
    project.horizon *= factor;
    return project;
}

}  // namespace oventide::support
