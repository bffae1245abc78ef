#pragma once
/// The scheduler, asked only about what is not settled: most of a day has happened, or is held where it was announced.

#include <cstdint>
#include <memory>
#include <optional>
#include <vector>

#include "oventide/project.hpp"
#include "oventide/scheduler.hpp"
#include "prove/questions.hpp"

namespace oventide::replan {

/// As `solve`. What can neither move nor choose is left out, with a little more said about the rest instead: what is
/// at once beyond dispute costs no search.
Outcome solve_reduced(const Project& project, const SearchOptions& options);

/// Many questions about one project: which of its activities could stand at their announced starts, too?
class HeldTrials {
public:
    /// The project has to outlive this; its goals are not looked at.
    explicit HeldTrials(const Project& project);
    ~HeldTrials();
    HeldTrials(const HeldTrials&) = delete;
    HeldTrials& operator=(const HeldTrials&) = delete;

    /// A schedule with this held, near `known`, which is right without; empty where none is found.
    std::optional<Schedule> with(std::vector<prove::Hold> holds, const Schedule& known, std::int64_t nodes);
    /// From now on holds what was tried last.
    void keep();

private:
    struct Part;
    std::unique_ptr<Part> part_;  ///< null: nothing can be moved
};

}  // namespace oventide::replan
