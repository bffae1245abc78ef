#pragma once
/// What was announced because of news that holds no longer.

#include "oventide/journal.hpp"

namespace oventide::replan {

/// Since the timetable published last, an entry before it was taken back, a chill was measured anew or spread thinner,
/// or what was broken or away is back earlier than was said before it, or what was announced for later turns out to
/// have happened by then: the timetable published last before that entry. Where somebody is there longer since: the
/// timetable published last but one. Null: it stands on what has been noted.
const journal::Published* published_before_void_news(const journal::Journal& journal);

}  // namespace oventide::replan
