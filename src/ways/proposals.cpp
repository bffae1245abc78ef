#include "ways/proposals.hpp"

#include <algorithm>

#include "ways/conditions.hpp"

namespace oventide::ways {
namespace {

using Kind = Condition::Kind;

constexpr std::int64_t kHour = 60;
constexpr std::int64_t kMostHours = 8 * kHour;  ///< that somebody's day grows by
constexpr std::int64_t kDay = 24 * kHour;       ///< hours are known up to a day before and after the plan
constexpr std::int64_t kMostWait = 3 * kDay;
constexpr std::int64_t kTenGrams = 10'000;

class Proposer {
public:
    Proposer(const Plan& plan, const Expansion& expansion, const std::vector<Condition>* why)
        : plan_(plan), expansion_(expansion), all_(conditions_of(plan, expansion)), why_(why ? *why : all_) {}

    std::vector<Proposal> run() {
        longer_hours();
        extra_hours();
        earlier_beginning();
        later_pickups();
        shorter_closings();
        another_person();
        one_more();
        another_oven();
        easier_promises();
        by_load();
        batch_sizes();
        if (plan_.times == Times::longest) single(UsualTimes{});
        smaller_orders();
        return std::move(result_);
    }

private:
    template <class Test>
    bool touched(Test test) const {
        return std::any_of(why_.begin(), why_.end(), test);
    }
    bool touched(Kind kind) const {
        return touched([&](const Condition& one) { return one.kind == kind; });
    }
    bool touched(Kind kind, EquipmentIndex equipment) const {
        return touched([&](const Condition& one) { return one.kind == kind && one.equipment == equipment; });
    }

    void single(Change change) {
        result_.push_back({[change = std::move(change)](std::int64_t) { return change; }});
    }
    template <class Of>
    void by_degrees(Of of, std::int64_t most, std::int64_t for_gain) {
        if (most > 0) result_.push_back({of, most, 1, true, std::min(for_gain, most)});
    }

    Span whole() const {
        Span span{plan_.from, plan_.from};
        for (const Order& order : plan_.orders) span.to = std::max(span.to, order.pickup);
        return span;
    }

    bool hours_touched(PersonIndex person) const {
        return touched([&](const Condition& one) { return one.kind == Kind::hours && one.person == person; });
    }

    void extra_hours() {
        for (std::size_t i = 0; i < plan_.kitchen.crew.size(); ++i) {
            const auto person = static_cast<PersonIndex>(i);
            if (!hours_touched(person)) continue;
            single(ExtraHours{person, {}});
            result_.back().for_gain = 0;  // when, is only known from what it makes possible
        }
    }

    void longer_hours() {
        for (std::size_t i = 0; i < plan_.kitchen.crew.size(); ++i) {
            const auto person = static_cast<PersonIndex>(i);
            if (!hours_touched(person)) continue;
            const auto& hours = plan_.kitchen.crew[i].hours;
            for (std::size_t k = 0; k < hours.size(); ++k) {
                const auto stretch = static_cast<std::int32_t>(k);
                if (hours[k].from > whole().from && hours[k].from < whole().to)
                    by_degrees(
                        [=](std::int64_t n) -> Change {
                            return LongerHours{person, stretch, Minutes{n}, {}};
                        },
                        kMostHours, kHour);
                if (hours[k].to > whole().from && hours[k].to < whole().to)
                    by_degrees(
                        [=](std::int64_t n) -> Change {
                            return LongerHours{person, stretch, {}, Minutes{n}};
                        },
                        kMostHours, kHour);
            }
        }
    }

    void earlier_beginning() {
        if (touched(Kind::from))
            by_degrees([](std::int64_t n) -> Change { return EarlierBeginning{Minutes{n}}; }, kDay, kHour);
    }

    void later_pickups() {
        for (std::size_t i = 0; i < plan_.orders.size(); ++i) {
            const auto order = static_cast<std::int32_t>(i);
            if (!touched([&](const Condition& one) {
                    return one.kind == Kind::pickup && expansion_.promises[one.promise].order == order;
                }))
                continue;
            by_degrees([=](std::int64_t n) -> Change { return LaterPickup{order, Minutes{n}}; }, kDay, kHour / 2);
            result_.back().more_is_more = false;  // what keeps until a pickup keeps only so long
        }
    }

    void shorter_closings() {
        for (std::size_t i = 0; i < plan_.kitchen.equipment.size(); ++i) {
            const auto equipment = static_cast<EquipmentIndex>(i);
            if (!touched(Kind::closed, equipment)) continue;
            const auto& closed = plan_.kitchen.equipment[i].closed;
            for (std::size_t k = 0; k < closed.size(); ++k) {
                if (closed[k].to <= whole().from || closed[k].from >= whole().to) continue;
                const auto closing = static_cast<std::int32_t>(k);
                const std::int64_t all = (closed[k].to - closed[k].from).count();
                by_degrees(
                    [=](std::int64_t n) -> Change {
                        return ShorterClosing{equipment, closing, Minutes{n}, {}};
                    },
                    all, all);
                by_degrees(
                    [=](std::int64_t n) -> Change {
                        return ShorterClosing{equipment, closing, {}, Minutes{n}};
                    },
                    all, kHour);
            }
        }
    }

    void another_person() {
        if (touched(Kind::hours) || touched(Kind::hands)) single(AnotherPerson{});
    }

    void one_more() {
        for (std::size_t i = 0; i < plan_.kitchen.equipment.size(); ++i) {
            const auto equipment = static_cast<EquipmentIndex>(i);
            const bool oven = plan_.kitchen.equipment[i].kind == EquipmentKind::oven;
            // A tray more is in the same oven, and closed when that is.
            if (touched(Kind::amount, equipment) || (!oven && touched(Kind::closed, equipment)))
                single(OneMore{equipment, {}});
        }
    }

    void another_oven() {
        const bool any = touched(Kind::heat) || touched(Kind::door);
        for (std::size_t i = 0; i < plan_.kitchen.equipment.size(); ++i) {
            const auto equipment = static_cast<EquipmentIndex>(i);
            if (plan_.kitchen.equipment[i].kind != EquipmentKind::oven) continue;
            if (any || touched(Kind::amount, equipment) || touched(Kind::closed, equipment))
                single(AnotherOven{equipment, {}});
        }
    }

    void easier_promises() {
        for (const Condition& one : why_) {
            if (one.promise == kNoPromise) continue;
            const Promise& promise = expansion_.promises[one.promise];
            const auto of = [promise](std::int64_t n) -> Change { return EasierPromise{promise, Minutes{n}}; };
            if (one.kind == Kind::within || one.kind == Kind::keeps) by_degrees(of, kMostWait, kHour / 2);
            if (one.kind == Kind::rest) by_degrees(of, rest_of(promise).count(), kHour / 2);
        }
    }

    Minutes rest_of(const Promise& promise) const {
        const Step& step = plan_.components[promise.component].steps[promise.step];
        return promise.after >= 0 ? step.after[promise.after].rest : step.draws[promise.draw].rest;
    }

    /// Steps that wait for whole batches, where a limit ties them to what goes load by load.
    void by_load() {
        std::vector<std::pair<ComponentIndex, StepIndex>> known;
        const auto propose = [&](ComponentIndex component, StepIndex step) {
            const auto key = std::pair(component, step);
            if (std::find(known.begin(), known.end(), key) != known.end()) return;
            known.push_back(key);
            single(ByLoad{component, step});
        };
        for (const Condition& one : why_) {
            if (one.kind != Kind::within) continue;
            const Promise& promise = expansion_.promises[one.promise];
            const auto& steps = plan_.components[promise.component].steps;
            if (promise.after < 0) continue;
            const After& after = steps[promise.step].after[promise.after];
            if (after.component != promise.component || steps[promise.step].by_load == steps[after.step].by_load)
                continue;
            propose(promise.component, steps[promise.step].by_load ? after.step : promise.step);
        }
    }

    /// Batches that suit the orders: none for two of them, where the first is as large as that; and one for an order
    /// that wants a little more than a batch holds.
    void batch_sizes() {
        for (std::size_t c = 0; c < plan_.components.size(); ++c) {
            const auto component = static_cast<ComponentIndex>(c);
            const auto wanted = wanted_by_order(component);
            if (wanted.empty()) continue;
            const std::int64_t held = largest_batch(component);
            std::vector<std::int64_t> sizes;
            if (serves_two(component, wanted)) sizes.push_back(wanted.front());
            const std::int64_t most = *std::max_element(wanted.begin(), wanted.end());
            if (most > held && most < 2 * held && (sizes.empty() || sizes.front() != most)) sizes.push_back(most);
            for (const std::int64_t size : sizes)
                if (plan_.components[c].most != size) single(BatchSize{component, size});
        }
    }

    std::int64_t largest_batch(ComponentIndex component) const {
        std::int64_t most = 0;
        for (const Batch& batch : expansion_.batches)
            if (batch.component == component) most = std::max(most, batch.share.to - batch.share.from);
        return most;
    }

    /// In the order of their pickups, in which batches are shared out; food that is used besides is not told apart.
    bool serves_two(ComponentIndex component, const std::vector<std::int64_t>& wanted) const {
        std::int64_t bound = 0;
        for (std::size_t i = 0; i + 1 < wanted.size(); ++i) {
            bound += wanted[i];
            for (const Batch& batch : expansion_.batches)
                if (batch.component == component && batch.share.from < bound && bound < batch.share.to) return true;
        }
        return false;
    }

    std::vector<std::int64_t> wanted_by_order(ComponentIndex component) const {
        std::vector<const Order*> orders;
        for (const Order& order : plan_.orders) orders.push_back(&order);
        std::stable_sort(orders.begin(), orders.end(),
                         [](const Order* a, const Order* b) { return a->pickup < b->pickup; });
        std::vector<std::int64_t> wanted;
        for (const Order* const order : orders) {
            std::int64_t pieces = 0;
            for (const Item& item : order->items)
                if (item.component == component) pieces += item.pieces;
            if (pieces > 0) wanted.push_back(pieces);
        }
        return wanted;
    }

    void smaller_orders() {
        for (std::size_t o = 0; o < plan_.orders.size(); ++o)
            for (std::size_t i = 0; i < plan_.orders[o].items.size(); ++i) {
                const Item& item = plan_.orders[o].items[i];
                const bool mass = plan_.components[item.component].makes.unit == Amount::Unit::milligrams;
                const bool something_left = plan_.orders.size() > 1 || plan_.orders[o].items.size() > 1;
                const auto order = static_cast<std::int32_t>(o);
                const auto index = static_cast<std::int32_t>(i);
                by_degrees(
                    [=](std::int64_t n) -> Change {
                        return SmallerOrder{order, index, n};
                    },
                    something_left ? item.pieces : item.pieces - 1, std::max<std::int64_t>(1, item.pieces / 10));
                if (mass && item.pieces > 2 * kTenGrams) result_.back().step = kTenGrams;
            }
    }

    const Plan& plan_;
    const Expansion& expansion_;
    std::vector<Condition> all_;
    const std::vector<Condition>& why_;
    std::vector<Proposal> result_;
};

}  // namespace

std::vector<Proposal> proposals(const Plan& plan, const Expansion& expansion, const std::vector<Condition>* why) {
    return Proposer(plan, expansion, why).run();
}

}  // namespace oventide::ways
