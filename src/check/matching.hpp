#pragma once
/// What a row is due against what is written in it: which entry answers which demand.

#include <cstdint>
#include <functional>
#include <vector>

namespace oventide::referee {

/// Answers as many demands as can be, each by an entry of its own; -1 where none is left for it.
/// `fits(demand, entry)` says whether an entry would do. Augmenting paths (Kuhn 1955).
inline std::vector<std::int32_t> match(std::int32_t demands, std::int32_t entries,
                                       const std::function<bool(std::int32_t, std::int32_t)>& fits) {
    std::vector<std::int32_t> answered(entries, -1);
    std::vector<char> tried;
    const std::function<bool(std::int32_t)> place = [&](std::int32_t demand) {
        for (std::int32_t entry = 0; entry < entries; ++entry) {
            if (tried[entry] || !fits(demand, entry)) continue;
            tried[entry] = 1;
            if (answered[entry] < 0 || place(answered[entry])) {
                answered[entry] = demand;
                return true;
            }
        }
        return false;
    };
    for (std::int32_t demand = 0; demand < demands; ++demand) {
        tried.assign(entries, 0);
        place(demand);
    }
    std::vector<std::int32_t> entry_of(demands, -1);
    for (std::int32_t entry = 0; entry < entries; ++entry)
        if (answered[entry] >= 0) entry_of[answered[entry]] = entry;
    return entry_of;
}

}  // namespace oventide::referee
