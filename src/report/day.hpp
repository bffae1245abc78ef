#pragma once
/// What the text and the JSON of a replanned day share.

#include "oventide/report.hpp"

namespace oventide::report {

Subject subject_of(const Day& day);
/// Everything that a report of the day shows.
Span span_of(const Day& day);

}  // namespace oventide::report
