/// Changes tried on a plan that has no timetable: the least of each that gives one.

#include <algorithm>
#include <array>

#include "ways/proposals.hpp"
#include "ways/trial.hpp"

namespace oventide::ways {
namespace {

constexpr std::chrono::minutes kQuarter{15};

class Finder {
public:
    Finder(const Plan& plan, const Effort& effort) : plan_(plan), effort_(effort) {}

    WaysOut run(const std::vector<Proposal>& all) {
        for (const Proposal& proposal : all) {
            if (effort_.stop && effort_.stop->load()) break;
            ++result_.tried;
            try_proposal(proposal);
        }
        std::stable_sort(result_.ways.begin(), result_.ways.end(),
                         [](const WayOut& a, const WayOut& b) { return rank(a.change) < rank(b.change); });
        return std::move(result_);
    }

private:
    using Rank = std::pair<std::size_t, std::int64_t>;

    /// The kind of change, and in it how much of it.
    static Rank rank(const Change& change) {
        struct HowMuch {
            std::int64_t operator()(const LongerHours& c) const { return (c.earlier + c.longer).count(); }
            std::int64_t operator()(const EarlierBeginning& c) const { return c.earlier.count(); }
            std::int64_t operator()(const LaterPickup& c) const { return c.later.count(); }
            std::int64_t operator()(const ShorterClosing& c) const { return (c.begins_later + c.ends_earlier).count(); }
            std::int64_t operator()(const EasierPromise& c) const { return c.by.count(); }
            std::int64_t operator()(const SmallerOrder& c) const { return c.fewer; }
            std::int64_t operator()(const ExtraHours& c) const {
                return c.only ? (c.only->to - c.only->from).count() : 0;
            }
            std::int64_t operator()(const AnotherPerson&) const { return 0; }
            std::int64_t operator()(const OneMore&) const { return 0; }
            std::int64_t operator()(const AnotherOven&) const { return 0; }
            std::int64_t operator()(const ByLoad&) const { return 0; }
            std::int64_t operator()(const BatchSize&) const { return 0; }
            std::int64_t operator()(const UsualTimes&) const { return 0; }
        };
        return {change.index(), std::visit(HowMuch{}, change)};
    }

    Trial attempt(const Change& change) const { return try_any(changed(plan_, change), effort_); }
    bool works(const Change& change) const { return attempt(change).possible(); }

    void try_proposal(const Proposal& proposal) {
        const auto found = proposal.more_is_more ? from_the_most(proposal) : from_the_least(proposal);
        if (!found) return;
        Change change = proposal.of(*found);
        const bool least = *found <= proposal.step ||
                           attempt(proposal.of(*found - proposal.step)).verdict == Trial::Verdict::impossible;
        const Trial trial = try_well(changed(plan_, change), effort_);
        if (!trial.possible()) {
            result_.undecided.push_back(std::move(change));
            return;
        }
        if (auto narrow = shorter(change)) result_.ways.push_back({std::move(*narrow), least, trial.timetable->alarm});
    }

    /// The most that makes sense, and then less and less of it.
    std::optional<std::int64_t> from_the_most(const Proposal& proposal) {
        const std::int64_t most = proposal.most / proposal.step;
        const Trial::Verdict verdict = attempt(proposal.of(most * proposal.step)).verdict;
        if (verdict == Trial::Verdict::undecided) result_.undecided.push_back(proposal.of(most * proposal.step));
        if (verdict != Trial::Verdict::possible) return std::nullopt;
        return bisected(proposal, 0, most);
    }

    /// More and more of it until it is enough, and then less.
    std::optional<std::int64_t> from_the_least(const Proposal& proposal) {
        static constexpr std::array<std::int64_t, 16> kTries{5,   10,  15,  20,  30,  45,  60,    90,
                                                             120, 180, 240, 360, 480, 720, 1'080, 1'440};
        std::int64_t too_little = 0;
        bool undecided = false;
        for (const std::int64_t amount : kTries) {
            if (amount > proposal.most) break;
            const Trial::Verdict verdict = attempt(proposal.of(amount)).verdict;
            if (verdict == Trial::Verdict::possible) return bisected(proposal, too_little, amount);
            undecided = undecided || verdict == Trial::Verdict::undecided;
            too_little = amount;
        }
        if (undecided) result_.undecided.push_back(proposal.of(too_little));
        return std::nullopt;
    }

    /// `enough` is, `too_little` is not, as far as anybody knows; both count steps.
    std::int64_t bisected(const Proposal& proposal, std::int64_t too_little, std::int64_t enough) const {
        while (enough - too_little > 1) {
            const std::int64_t middle = too_little + (enough - too_little) / 2;
            (works(proposal.of(middle * proposal.step)) ? enough : too_little) = middle;
        }
        return enough * proposal.step;
    }

    // ---------------------------------------------------------------------------------- for an hour only

    /// Somebody or something more is needed only for a while: from as late as will do, until as early as will do.
    /// Nothing where it comes to another kind of change.
    std::optional<Change> shorter(const Change& change) const {
        if (const auto* hours = std::get_if<ExtraHours>(&change)) return apart(narrowed(*hours));
        if (const auto* person = std::get_if<AnotherPerson>(&change)) return narrowed(*person);
        if (const auto* more = std::get_if<OneMore>(&change)) {
            // A tray is part of an oven, and cannot come for an hour.
            const bool tray = plan_.kitchen.equipment[more->equipment].kind == EquipmentKind::oven;
            return tray ? change : narrowed(*more);
        }
        if (const auto* oven = std::get_if<AnotherOven>(&change)) return narrowed(*oven);
        return change;
    }

    /// Extra hours that touch those that there are only make these longer.
    std::optional<Change> apart(Change change) const {
        const auto& extra = std::get<ExtraHours>(change);
        if (!extra.only) return std::nullopt;
        const auto& hours = plan_.kitchen.crew[extra.person].hours;
        const bool touches = std::any_of(hours.begin(), hours.end(), [&](const Span& one) {
            return one.from <= extra.only->to && extra.only->from <= one.to;
        });
        return touches ? std::nullopt : std::optional(std::move(change));
    }

    template <class What>
    Change narrowed(What what) const {
        Span window{std::chrono::floor<std::chrono::days>(plan_.from), plan_.from};
        for (const Order& order : plan_.orders) window.to = std::max(window.to, order.pickup + kQuarter);
        const auto with = [&](Span only) {
            What shorter = what;
            shorter.only = only;
            return Change(shorter);
        };
        if (!works(with(window))) return what;
        const std::int64_t from = most_quarters(window, [&](std::int64_t n) {
            return works(with({window.from + n * kQuarter, window.to}));
        });
        window.from += from * kQuarter;
        const std::int64_t to = most_quarters(window, [&](std::int64_t n) {
            return works(with({window.from, window.to - n * kQuarter}));
        });
        window.to -= to * kQuarter;
        const Change result = with(window);
        return try_well(changed(plan_, result), effort_).possible() ? result : Change(what);
    }

    /// How many quarters of an hour can be taken off, as far as `test` goes.
    template <class Test>
    static std::int64_t most_quarters(const Span& window, Test test) {
        std::int64_t can = 0;
        std::int64_t cannot = (window.to - window.from) / Minutes{kQuarter};
        while (cannot - can > 1) {
            const std::int64_t middle = can + (cannot - can) / 2;
            (test(middle) ? can : cannot) = middle;
        }
        return can;
    }

    const Plan& plan_;
    const Effort& effort_;
    WaysOut result_;
};

}  // namespace

WaysOut ways_out(const Plan& plan, const Expansion& expansion, const WhyNot& why, const Effort& effort,
                 bool only_pickups) {
    std::vector<Proposal> all = proposals(plan, expansion, why.proven ? &why.conditions : nullptr);
    if (only_pickups)
        std::erase_if(all, [](const Proposal& one) { return !std::holds_alternative<LaterPickup>(one.of(one.step)); });
    return Finder(plan, effort).run(all);
}

}  // namespace oventide::ways
