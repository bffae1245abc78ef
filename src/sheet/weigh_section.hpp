#pragma once
/// What to weigh for each batch, on the day sheet.

#include <string>

#include "oventide/plan.hpp"
#include "sheet/source.hpp"

namespace oventide::sheet {

/// "24", "643.2 g": everywhere on the sheet the same.
std::string amount_text(const Component& component, std::int64_t amount);
/// "24 pieces", "643.2 g"
std::string amount_of(const Component& component, std::int64_t amount);

/// "633.6 g butter, 2 egg": what of the store goes into that batch; empty where the plan does not say.
std::string goes_in(const Source& source, const Row& row);

/// HTML; empty where the plan does not say what goes in. Of a day under way what is over is ticked.
std::string weigh_section(const Source& source);

}  // namespace oventide::sheet
