#pragma once
/// What a project's units want of its resources, minute by minute, ready to be priced.

#include <cstdint>
#include <vector>

#include "schedule/model.hpp"

namespace oventide::scheduling {

/// Wants `amount` of row `row` over `span`, counted from the unit's start.
struct Use {
    std::int32_t row = 0;
    std::int32_t amount = 0;
    profile::BusySpan span;
};

/// All demands on some of these resources and on no others, together; on a resource with a state those at one setting.
struct PricedRow {
    std::vector<ResourceId> resources;  ///< sorted
    SettingId setting = -1;             ///< -1: without a state
    std::vector<std::int32_t> amounts;  ///< of its uses
};

/// What a resource can give of a row while nothing stands in the way: no more than its demands can add up to.
struct Supply {
    std::int32_t row = 0;
    std::vector<std::int32_t> capacity;  ///< by minute from Priced::from on
};

/// A resource with a state, at one setting.
struct Offer {
    SettingId setting = 0;
    std::vector<Supply> supplies;
};

/// A resource with a state: from one use to the next at another setting passes so much time.
struct PricedLine {
    std::vector<Offer> offers;
    std::vector<std::vector<Time>> passes;  ///< by offer, by offer
};

struct Priced {
    Time from = 0;     ///< rows and supplies count minutes from here on; nobody wants anything before
    Time minutes = 0;  ///< and nothing after so many
    std::vector<PricedRow> rows;
    std::vector<std::vector<Use>> uses;  ///< by unit; those that last at least so long, whatever the other units do
    std::vector<Supply> supplies;        ///< of resources without a state, added up by row
    std::vector<PricedLine> lines;
};

Priced price_list(const Model& model);

}  // namespace oventide::scheduling
