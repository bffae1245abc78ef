#pragma once
/// One project, and many questions of what could be held in it, each answered with what was learned from those before.

#include <cstdint>
#include <optional>
#include <vector>

#include "prove/guide.hpp"
#include "prove/model.hpp"

namespace oventide::prove {

/// An activity starts in [earliest, latest].
struct Hold {
    ActivityId activity = -1;
    Time earliest = 0;
    Time latest = 0;
    std::vector<ResourceId> chosen;  ///< by demand; empty: any
};

class Questions {
public:
    /// Of the project, which has to outlive this, the goals are not looked at.
    explicit Questions(const Project& project);

    struct Reply {
        Answer answer = Answer::none;
        std::optional<Schedule> schedule;  ///< where one was found, complete with ends and start-ups
    };
    /// Looks near a schedule, which need not be right, for one with all this held.
    Reply ask(const std::vector<Hold>& holds, const Schedule& near, std::int64_t nodes);
    /// From now on holds what was asked last.
    void keep();

private:
    std::vector<Literal> meaning(const Hold& hold) const;

    Model model_;
    std::optional<ProjectGuide> guide_;  ///< none: the project itself is impossible
    std::optional<Literal> asked_;
};

}  // namespace oventide::prove
