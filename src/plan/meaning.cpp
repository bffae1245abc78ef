#include "plan/meaning.hpp"

#include <algorithm>
#include <string>
#include <utility>

#include "network/cycle.hpp"
#include "oventide/limits.hpp"
#include "oventide/safety.hpp"
#include "plan/food_ways.hpp"
#include "plan/quantities.hpp"
#include "plan/windows.hpp"

namespace oventide::plan_file {
namespace {

std::string step_name(const Plan& plan, StepId id) {
    const Component& component = plan.components[id.component];
    return component.name + "." + component.steps[id.step].name;
}

// --------------------------------------------------------------------------------------------------- circles

/// A graph whose edges have places in the file.
struct PlacedGraph {
    std::vector<std::string> names;         ///< by vertex
    std::vector<ComponentIndex> component;  ///< by vertex
    std::vector<network::Edge> edges;
    std::vector<Place> places;  ///< by edge
};

PlacedGraph step_graph(const Plan& plan) {
    PlacedGraph graph;
    std::vector<std::int32_t> first;
    for (std::size_t c = 0; c < plan.components.size(); ++c) {
        first.push_back(static_cast<std::int32_t>(graph.names.size()));
        for (std::size_t s = 0; s < plan.components[c].steps.size(); ++s) {
            graph.names.push_back(step_name(plan, {static_cast<ComponentIndex>(c), static_cast<StepIndex>(s)}));
            graph.component.push_back(static_cast<ComponentIndex>(c));
        }
    }
    const auto add = [&](std::int32_t from, std::int32_t to, const Place& place) {
        graph.edges.push_back({from, to});
        graph.places.push_back(place);
    };
    for (std::size_t c = 0; c < plan.components.size(); ++c) {
        for (std::size_t s = 0; s < plan.components[c].steps.size(); ++s) {
            const Step& step = plan.components[c].steps[s];
            const auto to = first[c] + static_cast<std::int32_t>(s);
            for (const After& after : step.after) add(first[after.component] + after.step, to, after.place);
            for (const Draw& draw : step.draws) {
                const auto count = static_cast<std::int32_t>(plan.components[draw.component].steps.size());
                if (count > 0) add(first[draw.component] + count - 1, to, draw.place);
            }
        }
    }
    return graph;
}

PlacedGraph component_graph(const Plan& plan) {
    PlacedGraph graph;
    for (std::size_t c = 0; c < plan.components.size(); ++c) {
        graph.names.push_back(plan.components[c].name);
        graph.component.push_back(static_cast<ComponentIndex>(c));
        for (const Step& step : plan.components[c].steps) {
            for (const Draw& draw : step.draws) {
                graph.edges.push_back({draw.component, static_cast<std::int32_t>(c)});
                graph.places.push_back(draw.place);
            }
        }
    }
    return graph;
}

constexpr std::size_t kMostNamed = 12;

/// Tells every circle, link by link, and returns the vertices that lie on one.
std::vector<std::int32_t> check_circles(const PlacedGraph& graph, const std::string& message, const std::string& verb,
                                        Complaints& complaints) {
    const auto circles = network::circles(static_cast<std::int32_t>(graph.names.size()), graph.edges);
    std::vector<std::int32_t> on_circles;
    for (const auto& circle : circles) {
        on_circles.insert(on_circles.end(), circle.begin(), circle.end());
        std::string chain;
        std::vector<Note> notes;
        for (std::size_t k = 0; k < circle.size(); ++k) {
            const std::int32_t from = circle[k], to = circle[(k + 1) % circle.size()];
            const auto edge = std::find_if(graph.edges.begin(), graph.edges.end(),
                                           [&](const network::Edge& e) { return e.from == from && e.to == to; });
            if (k < kMostNamed) chain += "'" + graph.names[from] + "' -> ";
            if (k == kMostNamed) chain += "... -> ";
            notes.push_back({graph.places[edge - graph.edges.begin()],
                             "'" + graph.names[to] + "' " + verb + " '" + graph.names[from] + "'"});
        }
        const Place place = notes.back().place;
        complaints.error(place, message + ": " + chain + "'" + graph.names[circle.front()] + "'",
                         "one of these must go:", std::move(notes));
    }
    return on_circles;
}

// --------------------------------------------------------------------------------------------------- amounts

std::int64_t most_of(Amount::Unit unit) { return unit == Amount::Unit::pieces ? Limits::pieces : Limits::milligrams; }

/// Components so that each stands before what goes into it. There are no circles.
std::vector<ComponentIndex> users_first(const Plan& plan) {
    std::vector<int> users(plan.components.size(), 0);
    for (const Component& component : plan.components)
        for (const Step& step : component.steps)
            for (const Draw& draw : step.draws) ++users[draw.component];
    std::vector<ComponentIndex> order;
    for (std::size_t c = 0; c < users.size(); ++c)
        if (users[c] == 0) order.push_back(static_cast<ComponentIndex>(c));
    for (std::size_t k = 0; k < order.size(); ++k)
        for (const Step& step : plan.components[order[k]].steps)
            for (const Draw& draw : step.draws)
                if (--users[draw.component] == 0) order.push_back(draw.component);
    return order;
}

/// What all orders need of each component stays within the limits, so that no later sum can overflow.
void check_amounts(const Plan& plan, Complaints& complaints) {
    std::vector<std::int64_t> needed(plan.components.size(), 0);
    const auto need = [&](ComponentIndex c, std::int64_t amount, const Place& place) {
        const Amount::Unit unit = plan.components[c].makes.unit;
        const std::int64_t most = most_of(unit);
        if (needed[c] > most) return;  // told already
        needed[c] += std::min(amount, most + 1);
        if (needed[c] > most)
            complaints.error(place,
                             "with this, more than " + amount_text({unit, most}) + " of '" + plan.components[c].name +
                                 "' are needed in all",
                             "that is more than a plan can hold");
    };
    for (const Order& order : plan.orders)
        for (const Item& item : order.items) need(item.component, item.pieces, item.place);
    for (const ComponentIndex c : users_first(plan)) {
        const Component& component = plan.components[c];
        const std::int64_t most = most_of(component.makes.unit);
        const std::int64_t made = std::min(needed[c], most);
        // Pieces, or kilograms begun: at most a million, times at most 10^12.
        const std::int64_t units = component.makes.unit == Amount::Unit::pieces ? made : (made + 999'999) / 1'000'000;
        for (const Step& step : component.steps)
            for (const Draw& draw : step.draws) need(draw.component, units * draw.each.count, draw.place);
    }
}

// -------------------------------------------------------------------------------------------------- cautions

/// Steps that nothing follows, besides the last: easily the fault of an `after` that replaced 'the step before'.
void caution_loose_ends(const Plan& plan, Complaints& complaints) {
    for (const Component& component : plan.components) {
        std::vector<bool> followed(component.steps.size(), false);
        followed.back() = true;
        // What gives equipment back, such as washing up, needs nothing after it.
        for (const Step& step : component.steps)
            for (const Use& use : step.uses)
                if (use.until) followed[*use.until] = true;
        for (const Component& other : plan.components)
            for (const Step& step : other.steps)
                for (const After& after : step.after)
                    if (&plan.components[after.component] == &component) followed[after.step] = true;
        for (std::size_t s = 0; s < followed.size(); ++s)
            if (!followed[s])
                complaints.caution(component.steps[s].place,
                                   "nothing comes after '" + component.steps[s].name + "', and it is not the last step",
                                   "name it in the 'after' of the step that needs it");
    }
}

/// Food is handed on by the last step. Where that only washes up, what keeps before it keeps no longer than until then.
void caution_washing_last(const Plan& plan, Complaints& complaints) {
    for (const Component& component : plan.components) {
        const Step& last = component.steps.back();
        const auto index = static_cast<StepIndex>(component.steps.size() - 1);
        const bool gives_back = std::any_of(component.steps.begin(), component.steps.end(), [&](const Step& step) {
            return std::any_of(step.uses.begin(), step.uses.end(), [&](const Use& use) { return use.until == index; });
        });
        const bool washes = last.name.find("wash") != std::string::npos;
        if ((!gives_back && !washes) || last.keeps || component.keeps) continue;
        for (const After& after : last.after) {
            if (&plan.components[after.component] != &component) continue;
            const Step& before = component.steps[after.step];
            if (!before.keeps) continue;
            complaints.caution(
                last.place,
                "food is handed on by the last step: 'keeps' of '" + before.name + "' ends when '" + last.name +
                    "' starts, and then nothing limits how long it waits",
                "write '" + last.name + "' above '" + before.name +
                    "', whose 'after' then names the step that it follows; or give the component `keeps`");
        }
    }
}

void caution_unchilled(const Plan& plan, Complaints& complaints) {
    if (!find_safety_rule(plan.safety.rule)) return;
    for (const StepId cooked : FoodWays(plan).never_chilled())
        complaints.caution(plan.components[cooked.component].steps[cooked.step].place,
                           "'" + step_name(plan, cooked) +
                               "' is cooked and perishable, but no step after it is a chill: no food-safety rule "
                               "limits how long it stays warm",
                           "mark the step that brings it into the cold with chill = true");
}

void caution_no_hours(const Plan& plan, Complaints& complaints) {
    for (const Person& person : plan.kitchen.crew)
        if (person.hours.empty())
            complaints.caution(person.place, "'" + person.name + "' has no hours on the days of this plan");
}

}  // namespace

void check_meaning(const Plan& plan, const std::vector<bool>& sound, Complaints& complaints) {
    std::vector<bool> left_out = sound;
    left_out.flip();
    const PlacedGraph steps = step_graph(plan);
    const auto in_circle =
        check_circles(steps, "these steps wait for each other in a circle", "comes after", complaints);
    for (const std::int32_t step : in_circle) left_out[steps.component[step]] = true;
    bool circles = !in_circle.empty();
    if (!circles)
        circles = !check_circles(component_graph(plan), "these components go into each other in a circle", "needs",
                                 complaints)
                       .empty();
    check_windows(plan, left_out, complaints);
    if (circles || std::find(sound.begin(), sound.end(), false) != sound.end()) return;
    check_amounts(plan, complaints);
    caution_loose_ends(plan, complaints);
    caution_washing_last(plan, complaints);
    caution_unchilled(plan, complaints);
    if (complaints.errors() == 0) caution_no_hours(plan, complaints);
}

}  // namespace oventide::plan_file
