#pragma once
/// The rules of one resource with a state: settings that share it, transitions, seals, start-ups.

#include <map>
#include <memory>
#include <vector>

#include "prove/model.hpp"
#include "prove/rules.hpp"

namespace oventide::prove {

class StateModel {
public:
    StateModel(Model& model, ResourceId id);
    void add();

private:
    using Claim = Model::Claim;

    /// A visit's setting from one minute to another after its start; -1: there without a setting.
    struct Stretch {
        Time from;
        Time to;
        SettingId setting;
    };
    const Demand& demand(const Claim& claim) const;
    std::vector<Stretch> stretches(const Claim& visit) const;
    SettingId first_setting(const Claim& visit) const { return demand(visit).stages.front().setting; }

    void add_pair(const Claim& a, const Claim& b);
    bool compatible(const std::vector<Stretch>& a, const std::vector<Stretch>& b, Time apart) const;
    bool far_enough(const std::vector<Stretch>& earlier, SettingId next, Time apart) const;
    bool sealed_off(const Claim& sealer, const Claim& other, Time apart) const;
    void add_loose_ends(const Claim& visit, const std::vector<Claim>& visits);
    void add_seals(const Claim& sealer, const std::vector<Claim>& claims);
    void add_start_up(std::size_t which, const std::vector<Claim>& visits);
    void forbid_cold_starts(Term start, Time heating, Literal cold);
    std::shared_ptr<const StepFunction::Table> warm_since() const;

    Model& model_;
    const Project& project_;
    ResourceId id_;
    const StateRules& rules_;
    std::int32_t origin_;
    Time longest_transition_ = 0;
    std::shared_ptr<const StepFunction::Table> warm_since_;
};

}  // namespace oventide::prove
