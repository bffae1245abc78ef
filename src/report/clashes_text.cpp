/// What components would do to each other if each were planned alone, and what the timetable did about it.

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "oventide/report.hpp"
#include "report/shared.hpp"

namespace oventide::report {
namespace {

/// Steps of one component in a clash, or in several alike: how far the timetable has moved them.
struct Party {
    ComponentIndex component = 0;
    StepIndex step = 0;
    bool washing = false;  ///< up after it
    std::vector<ActivityId> activities;
    Time least = 0;  ///< minutes later than alone; negative: earlier
    Time most = 0;
    std::vector<std::string> given_to;
};

/// Clashes of the same steps over the same thing.
struct Group {
    const Clash* first = nullptr;
    std::vector<const Clash*> clashes;
    std::vector<Party> parties;
};

class Grouping {
public:
    Grouping(const Subject& subject, const Words& words) : subject_(subject), words_(words) {}

    std::vector<Group> of(const std::vector<Clash>& clashes) {
        std::vector<Group> groups;
        std::map<std::pair<std::vector<ResourceId>, std::vector<std::pair<ComponentIndex, StepIndex>>>, std::size_t>
            known;
        for (const Clash& clash : clashes) {
            const auto [at, fresh] = known.try_emplace({clash.resources, steps_of(clash)}, groups.size());
            if (fresh) groups.push_back({&clash, {}, {}});
            Group& group = groups[at->second];
            group.clashes.push_back(&clash);
            for (const Clash::Claim& claim : clash.claims) add(group, claim, clash.resources.size() > 1);
        }
        return groups;
    }

private:
    std::pair<ComponentIndex, StepIndex> step_of(ActivityId id) const {
        const Task& task = subject_.expansion.tasks[id];
        return {subject_.expansion.batches[task.batch].component, task.step};
    }

    std::vector<std::pair<ComponentIndex, StepIndex>> steps_of(const Clash& clash) const {
        std::vector<std::pair<ComponentIndex, StepIndex>> steps;
        for (const Clash::Claim& claim : clash.claims) steps.push_back(step_of(claim.activity));
        std::sort(steps.begin(), steps.end());
        steps.erase(std::unique(steps.begin(), steps.end()), steps.end());
        return steps;
    }

    void add(Group& group, const Clash::Claim& claim, bool has_choice) {
        const auto [component, step] = step_of(claim.activity);
        auto party =
            std::find_if(group.parties.begin(), group.parties.end(), [&, c = component, s = step](const Party& p) {
                return p.component == c && p.step == s && p.washing == claim.washing;
            });
        const Time later = claim.actual - claim.alone;
        if (party == group.parties.end())
            party = group.parties.insert(party, {component, step, claim.washing, {}, later, later, {}});
        party->least = std::min(party->least, later);
        party->most = std::max(party->most, later);
        if (has_choice) party->given_to.push_back(words_.resource(claim.chosen));
        if (std::find(party->activities.begin(), party->activities.end(), claim.activity) == party->activities.end())
            party->activities.push_back(claim.activity);
    }

    const Subject& subject_;
    const Words& words_;
};

std::string shift_text(Time minutes) {
    if (minutes == 0) return "not moved";
    return short_duration(Minutes{std::abs(minutes)}) + (minutes < 0 ? " earlier" : " later");
}

/// "1h05m earlier", "up to 2h00m earlier", "10m to 2h00m later", "20m earlier to 5m later"
std::string moved_text(const Party& party) {
    if (party.least == party.most) return shift_text(party.least);
    if (party.most == 0 || party.least == 0) return "up to " + shift_text(party.most == 0 ? party.least : party.most);
    const bool one_way = party.most < 0 || party.least > 0;
    const Time nearer = party.most < 0 ? party.most : party.least;
    const Time farther = party.most < 0 ? party.least : party.most;
    return (one_way ? short_duration(Minutes{std::abs(nearer)}) : shift_text(nearer)) + " to " + shift_text(farther);
}

class ClashPage {
public:
    ClashPage(const Subject& subject, const Words& words, const Days& days, Page& page)
        : subject_(subject), words_(words), days_(days), page_(page) {}

    void add(const Group& group) {
        const Instant from = instant(group.first->when.from);
        if (!last_day_ || !days_.same_day(*last_day_, from)) page_.heading(days_.day(from));
        last_day_ = from;
        page_.blank();
        page_.paragraph(when_text(group) + "  " + what_text(group), 2, 13);
        Table table({{"", Align::left, 0}, {"", Align::left, 16}, {"", Align::left, 29}, {"", Align::left, 16}});
        for (const Party& party : group.parties) {
            std::string who = words_.step(party.component, party.step);
            if (party.activities.size() == 1)
                who = words_.task(party.activities.front());
            else
                who += fmt::format(" ({} times)", party.activities.size());
            const bool timed = subject_.timetable != nullptr;
            if (party.washing) who = "wash up after " + who;
            table.row(
                {who, wanted_text(group, party), timed ? starts_text(group, party) : "",
                 party.given_to.empty() ? "" : (is_hands(*group.first) ? "by " : "in ") + joined(party.given_to)});
        }
        page_.table(table, 4);
    }

private:
    Instant instant(Time at) const { return subject_.expansion.origin + Minutes{at}; }

    std::string when_text(const Group& group) const {
        const Interval when = group.first->when;
        return days_.time(instant(when.from)) + "-" + days_.time_from(instant(when.to), instant(when.from));
    }

    std::string resources_text(const Clash& clash) const {
        std::vector<std::string> names;
        for (const ResourceId id : clash.resources) names.push_back(words_.resource(id));
        return joined(names, " or ");
    }

    bool is_hands(const Clash& clash) const {
        return subject_.expansion.resources[clash.resources.front()].person.has_value();
    }

    /// Each kind of trouble once, at its worst.
    std::string what_text(const Group& group) const {
        std::vector<std::string> troubles;
        for (const Clash::Kind kind : {Clash::Kind::capacity, Clash::Kind::setting, Clash::Kind::door}) {
            const Clash* worst = nullptr;
            for (const Clash* clash : group.clashes)
                if (clash->kind == kind && (worst == nullptr || badness(*clash) > badness(*worst))) worst = clash;
            if (worst != nullptr) troubles.push_back(trouble_text(*worst));
        }
        std::string text = resources_text(*group.first) + ": " + joined(troubles, "; ");
        Time until = group.first->when.to;
        int again = 0;
        for (const Clash* clash : group.clashes) {
            again += clash->when.from >= until ? 1 : 0;
            until = std::max(until, clash->when.to);
        }
        if (again > 0)
            text += fmt::format("; {} more time{}, up to {}", again, again == 1 ? "" : "s",
                                days_.time_from(instant(until), instant(group.first->when.from)));
        return text;
    }

    static std::pair<std::int32_t, Time> badness(const Clash& clash) {
        return {clash.wanted - clash.available, clash.too_soon};
    }

    std::string trouble_text(const Clash& clash) const {
        switch (clash.kind) {
            case Clash::Kind::capacity:
                return fmt::format("{} {} wanted, {}", clash.wanted, unit_text(clash), there_text(clash));
            case Clash::Kind::setting:
                return clash.too_soon > 0 ? fmt::format("next setting wanted {} too soon to heat or cool",
                                                        duration_text(Minutes{clash.too_soon}))
                                          : fmt::format("{} settings at once", clash.wanted);
            case Clash::Kind::door:
                return "opened while the door must stay shut";
        }
        return "";
    }

    static std::string there_text(const Clash& clash) {
        return clash.available == 0 ? "none to be had then" : fmt::format("{} there", clash.available);
    }

    std::string unit_text(const Clash& clash) const {
        if (is_hands(clash)) return clash.wanted == 1 ? "pair of hands" : "pairs of hands";
        const auto& info = subject_.expansion.resources[clash.resources.front()];
        const bool one = clash.wanted == 1;
        switch (subject_.plan.kitchen.equipment[*info.equipment].kind) {
            case EquipmentKind::oven:
                return one ? "tray" : "trays";
            case EquipmentKind::mixer:
                return one ? "bowl" : "bowls";
            case EquipmentKind::hob:
                return one ? "ring" : "rings";
            case EquipmentKind::fridge:
                return one ? "shelf" : "shelves";
            case EquipmentKind::other:
                return "of them";
        }
        return "";
    }

    const Clash::Claim* claim_of(const Group& group, const Party& party) const {
        for (const Clash::Claim& claim : group.first->claims)
            if (claim.activity == party.activities.front() && claim.washing == party.washing) return &claim;
        return nullptr;
    }

    std::string wanted_text(const Group& group, const Party& party) const {
        const Clash::Claim* claim = claim_of(group, party);
        if (claim == nullptr) return "";
        return "wanted " + days_.time_from(instant(claim->alone), instant(group.first->when.from));
    }

    /// One step: when it starts, and by how much that is moved; several: by how much.
    std::string starts_text(const Group& group, const Party& party) const {
        const Clash::Claim* claim = claim_of(group, party);
        if (claim == nullptr || party.activities.size() > 1 || party.least != party.most || party.most == 0)
            return moved_text(party);
        return fmt::format("starts {}, {}", days_.time_from(instant(claim->actual), instant(group.first->when.from)),
                           shift_text(party.most));
    }

    const Subject& subject_;
    const Words& words_;
    const Days& days_;
    Page& page_;
    std::optional<Instant> last_day_;
};

}  // namespace

std::string clashes_text(const Subject& subject, const std::vector<Clash>& clashes, const Style& style) {
    const Words words(subject, style.ascii);
    Span span = span_of(subject);
    for (const Clash& clash : clashes) {
        span.from = std::min(span.from, subject.expansion.origin + Minutes{clash.when.from});
        span.to = std::max(span.to, subject.expansion.origin + Minutes{clash.when.to});
    }
    const Days days(subject.zone, span);
    Page page(style);
    page.title(words.name(subject.plan.title), "Clashes");
    page.blank();
    if (clashes.empty()) {
        page.paragraph(
            "Nothing clashes: planned each alone, back from its pickup, no two components want the same "
            "equipment or hands at the same time.");
        return page.text();
    }
    const std::vector<Group> groups = Grouping(subject, words).of(clashes);
    page.paragraph(
        fmt::format("{} clash{} if each component were planned alone, back from its pickup: when, over what, when each "
                    "step is wanted then, and when the timetable starts it.",
                    groups.size(), groups.size() == 1 ? "" : "es"));
    ClashPage listing(subject, words, days, page);
    for (const Group& group : groups) listing.add(group);
    return page.text();
}

}  // namespace oventide::report
