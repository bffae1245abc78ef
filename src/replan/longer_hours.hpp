#pragma once
/// Somebody stays longer, or comes earlier: tried hours, and of them what there is work for.

#include <array>
#include <optional>
#include <vector>

#include "oventide/replan.hpp"
#include "replan/needs.hpp"

namespace oventide::replan {

/// Tried one after the other.
inline constexpr std::array kLonger{Minutes{5}, Minutes{15}, Minutes{30}, Minutes{60}, Minutes{120}, Minutes{240}};

/// Of a person who is away their own hours again from `at` on.
std::vector<Span> hours_from(const Plan& plan, const Situation& situation, std::size_t person, Instant at);

/// When the next working day begins of somebody who is away until nobody knows when; absent where there is none.
std::optional<Instant> next_day(const Plan& plan, const Situation& situation, std::size_t person);

/// What of theirs a schedule has work for. `happened`: by activity, what is left out; empty: nothing.
std::vector<Span> work_of(const Expansion& expansion, const Schedule& schedule, PersonIndex person,
                          const std::vector<char>& happened = {});

/// Of a person `now` or later.
bool is_away(const Situation& situation, std::size_t person);

/// Their hours, later by so much at the end, and at the beginning where that is still to come. Nobody who is away
/// stays longer.
std::vector<Span> longer_hours(const Situation& situation, std::size_t person, Minutes by);

/// Of such longer hours those that were theirs, and in one piece with them what there is work for beyond.
std::vector<Span> hours_worked(const Situation& situation, std::size_t person, const std::vector<Span>& longer,
                               const Trial& trial);

/// What `hours` are more than theirs.
std::vector<Need> more_hours(const Situation& situation, std::size_t person, const std::vector<Span>& hours);

}  // namespace oventide::replan
