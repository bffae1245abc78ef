#include "network/cycle.hpp"

#include <algorithm>
#include <boost/graph/breadth_first_search.hpp>
#include <boost/graph/compressed_sparse_row_graph.hpp>
#include <utility>

namespace oventide::network {
namespace {

using Digraph = boost::compressed_sparse_row_graph<boost::directedS>;

/// The edges inside strong components, a loop at a vertex included, sorted so that ties are decided by vertex.
Digraph inner_graph(std::int32_t vertices, const std::vector<Edge>& edges, const std::vector<std::int32_t>& component) {
    std::vector<std::pair<std::int32_t, std::int32_t>> inner;
    for (const Edge& edge : edges)
        if (component[edge.from] == component[edge.to]) inner.emplace_back(edge.from, edge.to);
    std::sort(inner.begin(), inner.end());
    return Digraph(boost::edges_are_sorted, inner.begin(), inner.end(), static_cast<std::size_t>(vertices));
}

std::vector<std::int32_t> circle_through(const Digraph& graph, std::int32_t first) {
    const std::size_t count = num_vertices(graph);
    std::vector<std::size_t> before(count, count);
    std::vector<boost::default_color_type> colour(count);
    boost::breadth_first_visit(
        graph, static_cast<std::size_t>(first),
        boost::visitor(boost::make_bfs_visitor(boost::record_predecessors(before.data(), boost::on_tree_edge())))
            .color_map(colour.data()));
    // Breadth first, so the first vertex to lead back in order of distance closes a shortest circle.
    std::vector<std::int32_t> best;
    for (std::size_t last = 0; last < count; ++last) {
        if (last != static_cast<std::size_t>(first) && before[last] == count) continue;
        const auto [begin, end] = adjacent_vertices(last, graph);
        if (std::find(begin, end, static_cast<std::size_t>(first)) == end) continue;
        std::vector<std::int32_t> circle{static_cast<std::int32_t>(last)};
        while (circle.back() != first) circle.push_back(static_cast<std::int32_t>(before[circle.back()]));
        if (best.empty() || circle.size() < best.size()) best = std::move(circle);
    }
    std::reverse(best.begin(), best.end());
    return best;
}

}  // namespace

std::vector<std::vector<std::int32_t>> circles(std::int32_t vertices, const std::vector<Edge>& edges) {
    const auto component = strong_components(vertices, edges);
    const Digraph graph = inner_graph(vertices, edges, component);
    std::vector<std::vector<std::int32_t>> found;
    std::vector<bool> done(static_cast<std::size_t>(vertices), false);
    for (std::int32_t vertex = 0; vertex < vertices; ++vertex) {
        if (done[component[vertex]] || out_degree(static_cast<std::size_t>(vertex), graph) == 0) continue;
        done[component[vertex]] = true;
        found.push_back(circle_through(graph, vertex));
    }
    return found;
}

}  // namespace oventide::network
