#pragma once
/// What every JSON report begins and ends with.

#include <nlohmann/json.hpp>
#include <string>

#include "oventide/report.hpp"

namespace oventide::report {

using Json = nlohmann::ordered_json;

/// Raised when a field changes its meaning or goes; new fields leave it as it is.
inline constexpr int kFormat = 1;

inline std::string written(const Json& json) { return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n"; }

inline Json head(const char* report) { return {{"format", kFormat}, {"report", report}}; }

inline Json head(const char* report, const Plan& plan) {
    Json json = head(report);
    json["title"] = plan.title;
    json["timezone"] = plan.timezone;
    return json;
}

inline Json time_json(const clock::Zone& zone, Instant at) {
    return {{"at", clock::iso_text(zone, at)}, {"minutes", at.time_since_epoch().count()}};
}

/// When a day on which something has happened stood so.
inline Json as_of_json(const Subject& subject) {
    return subject.day == nullptr ? Json(nullptr) : time_json(subject.zone, subject.day->now);
}

inline Json amount_json(const Component& of, std::int64_t count) {
    return {{"count", count}, {"unit", of.makes.unit == Amount::Unit::milligrams ? "mg" : "pieces"}};
}

}  // namespace oventide::report
