#include "plan/orders.hpp"

#include <utility>

#include "oventide/plan_file.hpp"
#include "plan/hours.hpp"
#include "plan/table_reader.hpp"

namespace oventide::plan_file {
namespace {

/// The zone database's tables end in 2037; before 1970 many zones' histories are guesses.
constexpr std::int32_t kFirstYear = 1970;
constexpr std::int32_t kLastYear = 2037;

}  // namespace

std::optional<Instant> read_moment(const Node& node, std::string_view key, const clock::Zone* zone,
                                   Complaints& complaints) {
    const std::string name = "'" + std::string(key) + "'";
    const std::string example = "write " + std::string(key) + " = 2026-10-03T16:00:00, without quotes";
    const auto* moment = std::get_if<Moment>(&node.value);
    if (!moment || !moment->has_date || !moment->has_time) {
        complaints.error(node.place, name + " is " + kind_of(node) + ", but should be a date and time", example);
        return std::nullopt;
    }
    if (moment->has_offset) {
        complaints.error(node.place, name + " has an offset from UTC, but clock times are those of the plan's timezone",
                         "leave the offset (Z, +01:00) out");
        return std::nullopt;
    }
    if (moment->year < kFirstYear || moment->year > kLastYear) {
        complaints.error(node.place, name + " lies in the year " + std::to_string(moment->year) +
                                         ", but should lie in " + std::to_string(kFirstYear) + " to " +
                                         std::to_string(kLastYear));
        return std::nullopt;
    }
    if (!moment->whole_minute) {
        complaints.error(node.place, name + " has seconds; plans are made in whole minutes", "write :00 at its end");
        return std::nullopt;
    }
    if (!zone) return std::nullopt;
    const clock::LocalTime local{moment->year, moment->month, moment->day, moment->minute};
    const clock::Reading reading = zone->read(local);
    if (complain_of_changeover(*zone, local, reading, node.place, complaints)) return std::nullopt;
    return reading.first;
}

std::vector<OrderDraft> read_orders(const std::vector<const Node*>& tables, const clock::Zone* zone,
                                    Complaints& complaints) {
    std::vector<OrderDraft> drafts;
    NameList names;
    // Told first, so that it is told even where there is more to tell than is told in all.
    if (tables.size() > Limits::orders)
        complaints.error(tables[Limits::orders]->place, "more than " + std::to_string(Limits::orders) + " orders");
    for (const Node* node : tables) {
        if (drafts.size() == Limits::orders) break;
        OrderDraft draft;
        TableReader table(*node, "this order", complaints);
        if (!table.is_table()) continue;
        draft.order.place = table.place();
        if (auto name = read_name(table, "Village hall")) {
            names.add("orders", *name, complaints);
            table.call_it("the order '" + name->text + "'");
            draft.order.name = name->text;
            draft.order.place = name->place;
        }
        table.require("pickup", "pickup = 2026-10-03T16:00:00");
        if (const Node* pickup = table.find("pickup")) {
            draft.pickup_place = pickup->place;
            if (const auto instant = read_moment(*pickup, "pickup", zone, complaints)) {
                draft.order.pickup = *instant;
                draft.pickup_known = true;
            }
        }
        if (const auto margin = table.duration("margin")) draft.order.margin = round_up(*margin);
        table.require("items", "items = { \"pear tart\" = 24 }");
        draft.items = table.find("items");
        table.finish();
        drafts.push_back(std::move(draft));
    }
    return drafts;
}

std::vector<Item> read_items(const OrderDraft& draft, const Names& names, const std::vector<Component>& components,
                             Complaints& complaints) {
    std::vector<Item> items;
    if (!draft.items) return items;
    const auto* entries = std::get_if<Table>(&draft.items->value);
    if (!entries) {
        complaints.error(draft.items->place, "'items' is " + kind_of(*draft.items) + ", but should be a table",
                         "write items = { \"pear tart\" = 24 }");
        return items;
    }
    if (entries->empty()) complaints.error(draft.items->place, "this order has no items");
    for (const Entry& entry : *entries) {
        const auto amount = read_amount(entry.node, entry.key, complaints);
        const auto component = names.find_component({entry.key, entry.key_place});
        if (!amount || !component) continue;
        const Amount makes = components[static_cast<std::size_t>(*component)].makes;
        if (makes.count > 0 && makes.unit != amount->unit) {
            const bool by_piece = makes.unit == Amount::Unit::pieces;
            complaints.error(entry.node.place,
                             "'" + entry.key + "' is made by " + (by_piece ? "the piece" : "weight") + " (makes " +
                                 amount_text(makes) + "), but " + amount_text(*amount) + " was ordered",
                             by_piece ? "write how many pieces" : "write a weight: \"1.2 kg\"");
            continue;
        }
        items.push_back({*component, amount->count, entry.key_place});
    }
    return items;
}

}  // namespace oventide::plan_file
