#include "network/network.hpp"

#include <algorithm>
#include <boost/graph/bellman_ford_shortest_paths.hpp>
#include <boost/graph/compressed_sparse_row_graph.hpp>
#include <boost/graph/edge_list.hpp>
#include <boost/graph/strong_components.hpp>
#include <numeric>
#include <utility>

namespace oventide::network {
namespace {

constexpr Time kNowhere = -kNever;

using Digraph = boost::compressed_sparse_row_graph<boost::directedS>;

/// The longest paths of one strong component whose labels start from outside.
/// Boost counts shortest paths, so lengths change their sign on the way in and out.
class ComponentPaths {
public:
    /// `lags`: those inside the component, forward lags in topological order first, so that one round settles them.
    /// False: a cycle of positive length; cycle() names it.
    bool settle(const std::vector<const Lag*>& lags, std::vector<Time>& label, std::vector<const Lag*>& reason,
                const std::vector<ActivityId>& members, std::vector<std::int32_t>& local) {
        arcs_.clear();
        lengths_.clear();
        for (std::size_t k = 0; k < members.size(); ++k) local[members[k]] = static_cast<std::int32_t>(k);
        for (const Lag* lag : lags) {
            arcs_.emplace_back(local[lag->from], local[lag->to]);
            lengths_.push_back(-std::int64_t{lag->lag});
        }
        distances_.clear();
        for (const ActivityId id : members)
            distances_.push_back(label[id] == kNowhere ? kFar : -std::int64_t{label[id]});
        reached_by_.assign(members.size(), -1);
        const bool possible = relax_until_settled(members.size());
        for (std::size_t k = 0; k < members.size(); ++k) {
            if (distances_[k] != kFar) label[members[k]] = static_cast<Time>(-distances_[k]);
            if (reached_by_[k] >= 0) reason[members[k]] = lags[reached_by_[k]];
        }
        return possible;
    }

private:
    static constexpr std::int64_t kFar = std::numeric_limits<std::int64_t>::max() / 4;
    using Arc = std::pair<std::int32_t, std::int32_t>;
    using ArcIterator = std::vector<Arc>::const_iterator;

    struct Recorder : boost::default_bellman_visitor {
        std::vector<std::int64_t>* reached_by;
        template <class E, class G>
        void edge_relaxed(const E& edge, const G& graph) const {
            (*reached_by)[target(edge, graph)] = get(boost::edge_index, graph, edge);
        }
    };

    /// As many rounds as there are members decide it, but the arcs that decide turn into a circle long before that
    /// where there is one (Cherkassky and Goldberg 1999): looked for after 8 rounds, 16 more, 32 more, ...
    bool relax_until_settled(std::size_t vertices) {
        std::size_t done = 0;
        for (std::size_t rounds = 8; done < vertices; done += rounds, rounds *= 2) {
            if (relax(vertices, std::min(rounds, vertices - done))) return true;
            if (circle_decides()) return false;
        }
        return false;
    }

    bool circle_decides() const {
        std::vector<std::int32_t> walk_of(reached_by_.size(), -1);
        for (std::int32_t start = 0; start < static_cast<std::int32_t>(walk_of.size()); ++start) {
            std::int32_t at = start;
            while (walk_of[at] < 0 && reached_by_[at] >= 0) {
                walk_of[at] = start;
                at = arcs_[reached_by_[at]].first;
            }
            if (walk_of[at] == start && reached_by_[at] >= 0) return true;
        }
        return false;
    }

    /// So many rounds over all arcs. True: nothing is left to better.
    bool relax(std::size_t vertices, std::size_t rounds) {
        using Graph = boost::edge_list<ArcIterator, Arc, std::ptrdiff_t, std::random_access_iterator_tag>;
        const Graph graph(arcs_.begin(), arcs_.end());
        Recorder recorder;
        recorder.reached_by = &reached_by_;
        const auto weight =
            boost::make_iterator_property_map(lengths_.begin(), get(boost::edge_index, graph), lengths_[0]);
        const auto add = [](std::int64_t a, std::int64_t b) { return a >= kFar ? kFar : a + b; };
        parents_.assign(vertices, 0);
        return boost::bellman_ford_shortest_paths(graph, rounds, weight, parents_.data(), distances_.data(), add,
                                                  std::less<>{}, recorder);
    }

    std::vector<Arc> arcs_;
    std::vector<std::int64_t> lengths_;
    std::vector<std::int64_t> distances_;
    std::vector<std::int64_t> reached_by_;
    std::vector<std::size_t> parents_;
};

std::vector<Edge> edges_of(const std::vector<Lag>& lags, bool forward_only) {
    std::vector<Edge> edges;
    for (const Lag& lag : lags)
        if (!forward_only || lag.lag >= 0) edges.push_back({lag.from, lag.to});
    return edges;
}

struct Labels {
    std::vector<Time> label;
    std::vector<const Lag*> reason;  ///< the lag that decides; null: its own release
    bool impossible = false;         ///< a cycle of positive length
};

/// Longest paths into every activity from its own release, in one sweep over the strong components.
Labels settle(const std::vector<Lag>& lags, std::vector<Time> release) {
    const auto count = static_cast<std::int32_t>(release.size());
    const auto component = strong_components(count, edges_of(lags, false));
    const auto forward_rank = strong_components(count, edges_of(lags, true));

    std::vector<const Lag*> sorted;
    for (const Lag& lag : lags) sorted.push_back(&lag);
    // Components from the sources on; inside one, forward lags in topological order, then what leads back.
    const auto key = [&](const Lag* lag) {
        return std::tuple(-component[lag->from], lag->lag < 0, -forward_rank[lag->from]);
    };
    std::stable_sort(sorted.begin(), sorted.end(), [&](const Lag* a, const Lag* b) { return key(a) < key(b); });

    std::vector<ActivityId> by_component(count);
    std::iota(by_component.begin(), by_component.end(), 0);
    std::stable_sort(by_component.begin(), by_component.end(),
                     [&](ActivityId a, ActivityId b) { return component[a] > component[b]; });

    Labels result{std::move(release), std::vector<const Lag*>(count, nullptr), false};
    ComponentPaths paths;
    std::vector<std::int32_t> local(count, 0);
    auto lag = sorted.begin();
    for (auto member = by_component.begin(); member != by_component.end();) {
        const std::int32_t current = component[*member];
        std::vector<ActivityId> members;
        for (; member != by_component.end() && component[*member] == current; ++member) members.push_back(*member);
        std::vector<const Lag*> inside;
        std::vector<const Lag*> leaving;
        for (; lag != sorted.end() && component[(*lag)->from] == current; ++lag)
            (component[(*lag)->to] == current ? inside : leaving).push_back(*lag);
        if (!inside.empty() && !paths.settle(inside, result.label, result.reason, members, local)) {
            result.impossible = true;
            return result;
        }
        for (const Lag* out : leaving) {
            if (result.label[out->from] == kNowhere) continue;
            const Time reached = result.label[out->from] + out->lag;
            if (reached <= result.label[out->to]) continue;
            result.label[out->to] = reached;
            result.reason[out->to] = out;
        }
    }
    return result;
}

/// Walks back along the deciding lags until an activity comes up twice: where labels never settle, there is such one.
std::vector<Lag> cycle_at(const Labels& labels, const std::vector<Lag>& lags) {
    std::vector<ActivityId> walked_from(labels.label.size(), -1);
    for (ActivityId start = 0; start < static_cast<ActivityId>(labels.label.size()); ++start) {
        ActivityId at = start;
        while (labels.reason[at] && walked_from[at] < 0) {
            walked_from[at] = start;
            at = labels.reason[at]->from;
        }
        if (walked_from[at] != start) continue;
        std::vector<Lag> cycle;
        std::int64_t length = 0;
        ActivityId turn = at;
        do {
            cycle.push_back(*labels.reason[turn]);
            length += labels.reason[turn]->lag;
            turn = labels.reason[turn]->from;
        } while (turn != at);
        if (length <= 0) continue;
        std::reverse(cycle.begin(), cycle.end());
        return cycle;
    }
    return lags;  // no deciding cycle recorded: everything is part of it
}

std::vector<Lag> path_to(ActivityId end, const Labels& labels) {
    std::vector<Lag> path;
    ActivityId at = end;
    for (; labels.reason[at] && path.size() <= labels.label.size(); at = labels.reason[at]->from)
        path.push_back(*labels.reason[at]);
    if (path.empty()) path.push_back({end, end, 0, kNoPromise});
    std::reverse(path.begin(), path.end());
    return path;
}

Time own_earliest(const Activity& activity) {
    if (!activity.stretchable || activity.held_until < 0 || activity.keep >= kNever) return activity.release;
    return std::max<Time>(activity.release, activity.held_until - activity.keep - activity.duration);
}

Time own_latest(const Activity& activity, Time horizon) { return std::min(activity.due, horizon) - activity.duration; }

}  // namespace

std::vector<Lag> all_lags(const Project& project) {
    std::vector<Lag> lags = project.lags;
    for (ActivityId id = 0; id < static_cast<ActivityId>(project.activities.size()); ++id) {
        const Activity& activity = project.activities[id];
        if (!activity.stretchable || activity.keep >= kNever) continue;
        for (const ActivityId user : activity.users)
            lags.push_back({user, id, -(activity.duration + activity.keep), activity.keep_promise});
    }
    return lags;
}

Windows start_windows(const Project& project, const std::vector<Lag>& lags) {
    std::vector<Time> release;
    std::vector<Time> latest;
    for (const Activity& activity : project.activities) {
        release.push_back(std::max<Time>(0, own_earliest(activity)));
        latest.push_back(own_latest(activity, project.horizon));
    }
    const Labels forward = settle(lags, release);
    Windows windows{forward.label, latest, {}};
    if (forward.impossible) {
        windows.contradiction = cycle_at(forward, lags);
        return windows;
    }
    for (ActivityId id = 0; id < static_cast<ActivityId>(latest.size()); ++id) {
        if (forward.label[id] <= latest[id]) continue;
        windows.contradiction = path_to(id, forward);
        return windows;
    }
    // The same sweep in mirrored time: start' = -start turns every lag round.
    std::vector<Lag> mirrored = lags;
    for (Lag& lag : mirrored) std::swap(lag.from, lag.to);
    for (Time& time : latest) time = -time;
    windows.latest = settle(mirrored, latest).label;
    for (Time& time : windows.latest) time = -time;
    return windows;
}

Blocks rigid_blocks(const std::vector<Lag>& lags, const std::vector<Time>& potential) {
    // Every lag of a cycle of length zero is tight under every potential, so the strong components of the tight lags
    // are the blocks.
    std::vector<Edge> tight;
    for (const Lag& lag : lags)
        if (potential[lag.to] == potential[lag.from] + lag.lag) tight.push_back({lag.from, lag.to});
    const auto count = static_cast<std::int32_t>(potential.size());
    const auto component = strong_components(count, tight);

    Blocks blocks{std::vector<std::int32_t>(count), std::vector<Time>(count), 0};
    std::vector<std::int32_t> number(count, -1);
    std::vector<Time> first(count, kNever);
    for (ActivityId id = 0; id < count; ++id) first[component[id]] = std::min(first[component[id]], potential[id]);
    for (ActivityId id = 0; id < count; ++id) {
        if (number[component[id]] < 0) number[component[id]] = blocks.count++;
        blocks.block[id] = number[component[id]];
        blocks.offset[id] = potential[id] - first[component[id]];
    }
    return blocks;
}

std::vector<std::int32_t> strong_components(std::int32_t vertices, const std::vector<Edge>& edges) {
    std::vector<std::pair<std::size_t, std::size_t>> pairs;
    pairs.reserve(edges.size());
    for (const Edge& edge : edges) pairs.emplace_back(edge.from, edge.to);
    const Digraph graph(boost::edges_are_unsorted_multi_pass, pairs.begin(), pairs.end(), vertices);
    std::vector<std::int32_t> component(vertices, 0);
    if (vertices > 0)
        boost::strong_components(graph,
                                 boost::make_iterator_property_map(component.begin(), get(boost::vertex_index, graph)));
    return component;
}

std::vector<Time> longest_paths(std::int32_t activities, const std::vector<Lag>& lags, ActivityId source) {
    std::vector<Time> release(activities, kNowhere);
    release[source] = 0;
    return settle(lags, std::move(release)).label;
}

}  // namespace oventide::network
