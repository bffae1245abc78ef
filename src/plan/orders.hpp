#pragma once
/// Orders: who collects what, when.

#include <optional>
#include <vector>

#include "oventide/clock.hpp"
#include "oventide/plan.hpp"
#include "plan/complaints.hpp"
#include "plan/document.hpp"
#include "plan/names.hpp"

namespace oventide::plan_file {

/// An order whose items are still names: the components are not known yet.
struct OrderDraft {
    Order order;
    bool pickup_known = false;
    Place pickup_place;
    const Node* items = nullptr;
};

/// `zone` is null where the plan has none that is known; no pickup is known then.
std::vector<OrderDraft> read_orders(const std::vector<const Node*>& tables, const clock::Zone* zone,
                                    Complaints& complaints);

/// A local date-time of the file as an instant; what is wrong with it is told.
std::optional<Instant> read_moment(const Node& node, std::string_view key, const clock::Zone* zone,
                                   Complaints& complaints);

std::vector<Item> read_items(const OrderDraft& draft, const Names& names, const std::vector<Component>& components,
                             Complaints& complaints);

}  // namespace oventide::plan_file
