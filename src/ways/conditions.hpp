#pragma once
/// A plan's project with some of its conditions left out.

#include <optional>
#include <vector>

#include "oventide/ways.hpp"

namespace oventide::ways {

/// The plan as projects, one for each set of conditions: the same activities, fewer constraints. What one set allows,
/// each subset allows.
class Relaxations {
public:
    Relaxations(const Plan& plan, const Expansion& expansion);

    const std::vector<Condition>& conditions() const { return conditions_; }
    /// `kept` by condition. No goals.
    Project keeping(const std::vector<bool>& kept) const;

private:
    void list_promises();
    void list_steps();
    void list_kitchen();
    void add(Condition condition) { conditions_.push_back(condition); }
    PromiseId representative(PromiseId promise) const;

    const Plan& plan_;
    const Expansion& expansion_;
    std::optional<Expansion> early_;  ///< with a beginning that holds nothing back
    Time room_ = 0;                   ///< added to the end, so that a pickup can be left out
    std::vector<Condition> conditions_;
    std::vector<std::int32_t> condition_of_promise_;  ///< -1: not to be left out
};

}  // namespace oventide::ways
