#include "schedule/priced.hpp"

#include <algorithm>
#include <map>
#include <utility>

namespace oventide::scheduling {
namespace {

/// Above this, what demands can add up to is not worked out.
constexpr std::int32_t kMostToAddUp = 10'000;

using RowKey = std::pair<std::vector<ResourceId>, SettingId>;

/// A need's part at one setting; without a state all of it.
struct Part {
    UnitId unit = 0;
    RowKey key;
    std::int32_t amount = 0;
    profile::BusySpan span;
};

/// The largest sum of some of `amounts` up to `most`.
std::int32_t sum_within(const std::vector<std::int32_t>& amounts, std::int32_t most) {
    if (most > kMostToAddUp) return most;
    std::vector<char> reached(static_cast<std::size_t>(std::max(0, most)) + 1, 0);
    reached[0] = 1;
    for (const std::int32_t amount : amounts)
        for (std::int32_t sum = most; sum >= amount; --sum)
            if (reached[sum - amount]) reached[sum] = 1;
    while (most > 0 && !reached[most]) --most;
    return std::max(0, most);
}

class PriceList {
public:
    explicit PriceList(const Model& model) : model_(model), project_(*model.project) {}

    Priced make() {
        for (UnitId unit = 0; unit < model_.count(); ++unit)
            for (const Need& need : model_.needs_of(unit)) split(unit, need);
        set_range();
        add_rows();
        add_uses();
        for (std::int32_t row = 0; row < static_cast<std::int32_t>(priced_.rows.size()); ++row)
            if (priced_.rows[row].setting < 0) priced_.supplies.push_back(supply_of_all(row));
        for (ResourceId id = 0; id < static_cast<ResourceId>(project_.resources.size()); ++id)
            if (project_.resources[id].has_state) add_line(id);
        return std::move(priced_);
    }

private:
    void split(UnitId unit, const Need& need) {
        if (model_.begin_is_open(need)) return;
        const auto choices = model_.choices_of(need);
        std::vector<ResourceId> resources(choices.begin(), choices.end());
        std::sort(resources.begin(), resources.end());
        if (!need.has_state()) {
            parts_.push_back({unit, {std::move(resources), -1}, need.amount, need.span});
            return;
        }
        if (need.span.from.fixed > -kNever) return;
        Time at = need.offset;
        for (const Stage& stage : need.demand->stages) {
            const Time from = std::max(at, need.span.from.shift);
            at += stage.lasts;
            const Time to = std::min(at, need.span.to.shift);
            if (from < to)
                parts_.push_back({unit, {resources, stage.setting}, need.amount, {{from, -kNever}, {to, -kNever}}});
        }
    }

    void set_range() {
        Time from = kNever;
        Time to = 0;
        for (const Part& part : parts_) {
            from = std::min(from, part.span.from.at(model_.units[part.unit].earliest));
            to = std::max({to, part.span.from.at(model_.units[part.unit].latest),
                           part.span.to.at(model_.units[part.unit].latest)});
        }
        priced_.from = std::min(from, to);
        priced_.minutes = to - priced_.from;
    }

    void add_rows() {
        std::map<RowKey, std::int32_t> rows;
        for (const Part& part : parts_) rows.try_emplace(part.key, 0);
        for (auto& [key, number] : rows) {
            number = static_cast<std::int32_t>(priced_.rows.size());
            priced_.rows.push_back({key.first, key.second, {}});
        }
    }

    void add_uses() {
        priced_.uses.resize(model_.units.size());
        for (const Part& part : parts_) {
            for (std::int32_t number = 0; number < static_cast<std::int32_t>(priced_.rows.size()); ++number) {
                PricedRow& row = priced_.rows[number];
                if (row.setting != part.key.second || !std::includes(row.resources.begin(), row.resources.end(),
                                                                     part.key.first.begin(), part.key.first.end()))
                    continue;
                row.amounts.push_back(part.amount);
                priced_.uses[part.unit].push_back({number, part.amount, part.span});
            }
        }
    }

    /// What one resource can give of a row.
    Supply supply(std::int32_t number, ResourceId id) const {
        const PricedRow& row = priced_.rows[number];
        Supply supply{number, std::vector<std::int32_t>(priced_.minutes, 0)};
        const auto& steps = project_.resources[id].capacity;
        for (std::size_t k = 0; k < steps.size(); ++k) {
            const Time from = minute_of(steps[k].from);
            const Time to = k + 1 < steps.size() ? minute_of(steps[k + 1].from) : priced_.minutes;
            std::fill(supply.capacity.begin() + from, supply.capacity.begin() + to, most_of(row, steps[k].capacity));
        }
        return supply;
    }

    Time minute_of(Time time) const { return std::clamp(time - priced_.from, 0, priced_.minutes); }

    std::int32_t most_of(const PricedRow& row, std::int32_t capacity) const {
        if (row.setting < 0 || !project_.settings[row.setting].exclusive) return sum_within(row.amounts, capacity);
        std::int32_t alone = 0;
        for (const std::int32_t amount : row.amounts)
            if (amount <= capacity) alone = std::max(alone, amount);
        return alone;
    }

    Supply supply_of_all(std::int32_t number) const {
        Supply sum{number, std::vector<std::int32_t>(priced_.minutes, 0)};
        for (const ResourceId id : priced_.rows[number].resources) {
            const Supply one = supply(number, id);
            for (Time minute = 0; minute < priced_.minutes; ++minute) sum.capacity[minute] += one.capacity[minute];
        }
        return sum;
    }

    void add_line(ResourceId id) {
        PricedLine line;
        for (std::int32_t number = 0; number < static_cast<std::int32_t>(priced_.rows.size()); ++number) {
            const PricedRow& row = priced_.rows[number];
            if (row.setting < 0 || !std::binary_search(row.resources.begin(), row.resources.end(), id)) continue;
            const auto same = std::find_if(line.offers.begin(), line.offers.end(),
                                           [&](const Offer& offer) { return offer.setting == row.setting; });
            Offer& offer = same != line.offers.end() ? *same : line.offers.emplace_back(Offer{row.setting, {}});
            offer.supplies.push_back(supply(number, id));
        }
        if (line.offers.empty()) return;
        for (const Offer& before : line.offers) {
            line.passes.emplace_back();
            for (const Offer& after : line.offers)
                line.passes.back().push_back(
                    follows_within(id, before.setting, after.setting)
                        ? 0
                        : project_.resources[id].state.transition[before.setting][after.setting]);
        }
        priced_.lines.push_back(std::move(line));
    }

    /// A programme may go on to `after` without a transition: from `before`, or from what its demand leaves out.
    bool follows_within(ResourceId id, SettingId before, SettingId after) const {
        for (const Need& need : model_.needs) {
            const auto choices = model_.choices_of(need);
            if (!need.has_state() || std::find(choices.begin(), choices.end(), id) == choices.end()) continue;
            SettingId last = -1;
            Time at = need.offset;
            for (const Stage& stage : need.demand->stages) {
                if (stage.lasts == 0) continue;
                const bool unseen_before = last >= 0 && at <= need.span.from.shift;
                if (stage.setting == after && (last == before || unseen_before)) return true;
                at += stage.lasts;
                last = stage.setting;
            }
        }
        return false;
    }

    const Model& model_;
    const Project& project_;
    std::vector<Part> parts_;
    Priced priced_;
};

}  // namespace

Priced price_list(const Model& model) { return PriceList(model).make(); }

}  // namespace oventide::scheduling
