#pragma once
/// Circles in a directed graph, each named in order.

#include <cstdint>
#include <vector>

#include "network/network.hpp"

namespace oventide::network {

/// One circle of every strong component that has any: the vertices in order, each with an edge to the next and the
/// last to the first. It is a shortest one through the component's lowest vertex, which stands first. By that vertex.
std::vector<std::vector<std::int32_t>> circles(std::int32_t vertices, const std::vector<Edge>& edges);

}  // namespace oventide::network
