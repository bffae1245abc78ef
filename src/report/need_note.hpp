#pragma once
/// What is to be noted once a need is met.

#include <fmt/format.h>

#include <string>

#include "oventide/replan.hpp"

namespace oventide::report {

/// `name`: of the person or the equipment; `when`: as a clock time.
inline std::string need_note(replan::Need::Kind kind, const std::string& name, const std::string& when) {
    switch (kind) {
        case replan::Need::Kind::stays:
            return fmt::format("'stays {} until {}'", name, when);
        case replan::Need::Kind::comes:
            return fmt::format("'comes {} {}'", name, when);
        case replan::Need::Kind::back:
            return fmt::format("'back {}' or 'away {} until TIME'", name, name);
        case replan::Need::Kind::mended:
            break;
    }
    return fmt::format("'mended {}' or 'broken {} until TIME'", name, name);
}

}  // namespace oventide::report
