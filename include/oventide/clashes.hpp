#pragma once
/// What components would do to each other if each were planned alone, and what the timetable did about it.

#include <vector>

#include "oventide/expand.hpp"
#include "oventide/project.hpp"
#include "oventide/schedule.hpp"

namespace oventide {

struct Clash {
    enum class Kind {
        capacity,  ///< more wanted than there is
        setting,   ///< two settings at once, or too soon after each other
        door,      ///< one wants the door while the other must not have it opened
    };
    Kind kind = Kind::capacity;
    /// The resources that could serve: one piece of equipment, or all the people who could lend hands.
    std::vector<ResourceId> resources;
    Interval when;               ///< each component planned alone
    std::int32_t wanted = 0;     ///< the most at once
    std::int32_t available = 0;  ///< at that minute
    Time too_soon = 0;           ///< for a setting: minutes that the change between them lacks; 0: wanted at once
    /// Who wants it, and what became of each in the timetable.
    struct Claim {
        ActivityId activity = 0;
        Time alone = 0;   ///< its start when its component is planned alone; for washing, of that
        Time actual = 0;  ///< likewise in the timetable
        ResourceId chosen = 0;
        bool washing = false;  ///< what is wanted is wanted to wash up after it
    };
    std::vector<Claim> claims;
};

/// By time, then resource. Empty: nothing clashes.
std::vector<Clash> find_clashes(const Expansion& expansion, const Schedule& schedule);

}  // namespace oventide
