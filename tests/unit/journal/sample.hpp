#pragma once
/// One event of each kind, as a morning would bring them.

#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "oventide/journal.hpp"

namespace oventide::journal::sample {

inline clock::Zone zone() {
    const auto found = clock::Zone::find("Europe/London");
    REQUIRE(found);
    return *found;
}

/// Minutes after 2026-10-03T05:00+01:00, which is 04:00 UTC.
inline Instant at(int minutes) {
    using namespace std::chrono;
    return Instant(sys_days(2026y / October / 3)) + hours(4) + Minutes(minutes);
}

inline Published timetable() {
    return {"60b1f8a1c2d3e4f5",
            {{"tart-case.1.mix", at(10), at(22), at(22), {"Ada"}, {"mixer"}},
             {"tart-case.1.bake.2", at(150), at(172), at(172), {"Ada", "Old \"Tom\""}, {"deck oven", "rack"}},
             {"custard.1.chill", at(-600), at(-480), at(200), {}, {}}}};
}

inline std::vector<Event> events() {
    return {timetable(),
            Started{"tart-case.1.mix", at(12)},
            Probe{"custard.1.chill", at(13), 47'500},
            Probe{"custard.1.chill", at(14), -1'250},
            WillEnd{"custard.1.chill", at(240)},
            Broken{"deck oven", at(15), at(45)},
            Mended{"deck oven", at(40)},
            Broken{"mixer", at(16), std::nullopt},
            Left{"Old \"Tom\"", at(20), at(80)},
            Left{"on", at(20), std::nullopt},
            Arrived{"Old \"Tom\"", at(70)},
            PickupMoved{"Village hall\n\\ by", at(700)},
            Finished{"tart-case.1.mix", at(25)},
            Stays{"Old \"Tom\"", at(800), at(827)},
            TakenBack{4}};
}

inline std::vector<Entry> entries() {
    std::vector<Entry> result;
    for (const Event& event : events()) {
        result.push_back(
            {static_cast<std::int32_t>(result.size()) + 1, at(30 + static_cast<int>(result.size())), event});
    }
    return result;
}

inline std::string text() {
    std::string result = header_text("Europe/London");
    for (const Entry& entry : entries()) result += entry_text(entry, zone());
    return result;
}

}  // namespace oventide::journal::sample
