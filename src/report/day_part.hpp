#pragma once
/// The text of a replanned day is written part by part: what they share, and the parts in the order of the page.

#include <algorithm>
#include <string>

#include "report/day.hpp"
#include "report/page.hpp"
#include "report/shared.hpp"
#include "report/words.hpp"

namespace oventide::report {

inline constexpr const char* kCaution =
    "A caution, no verdict: local rules and a trained person decide what may be served.";

struct DayText {
    DayText(const Day& of, bool ascii)
        : day(of), result(of.result), subject(subject_of(of)), words(subject, ascii), days(of.zone, span_of(of)) {}
    DayText(const DayText&) = delete;
    DayText& operator=(const DayText&) = delete;

    const Day& day;
    const replan::Replanned& result;
    Subject subject;
    Words words;  ///< of `subject`
    Days days;
};

class DayPart {
public:
    DayPart(const DayText& text, Page& page)
        : day_(text.day),
          result_(text.result),
          subject_(text.subject),
          words_(text.words),
          days_(text.days),
          page_(page) {}

protected:
    std::string task(ActivityId id) const { return words_.name(words_.task(id)); }
    std::string at(Instant when) const { return days_.time_from(when, day_.situation.now); }
    std::string id_of(ActivityId id) const { return words_.name(day_.planned.project.activities[id].name); }
    std::string order_name(std::int32_t order) const { return words_.name(day_.situation.today.orders[order].name); }
    /// Pre: there is a timetable, as for what follows.
    const replan::Pickup& pickup_of(std::int32_t order) const {
        return *std::ranges::find(result_.pickups, order, &replan::Pickup::order);
    }
    const Row& row_of(ActivityId id) const;
    /// Something that runs is in it.
    bool is_loaded(EquipmentIndex oven) const;
    /// Behind the heading of what is planned, where it is so only if what is needed comes about.
    const char* if_so() const { return result_.way == replan::Replanned::Way::conditional ? ", if so" : ""; }
    /// What is to be noted once a need is met.
    std::string note_of(const replan::Need& need) const;

    const Day& day_;
    const replan::Replanned& result_;
    const Subject& subject_;
    const Words& words_;
    const Days& days_;
    Page& page_;
};

void add_late_by_chills(const DayText& day, Page& page);
void add_needs(const DayText& day, Page& page);
/// Pre: there is a timetable.
void add_steps(const DayText& day, Page& page);
/// Likewise.
void add_pickups(const DayText& day, Page& page);
void add_chills(const DayText& day, Page& page);
void add_limits(const DayText& day, Page& page);
void add_remarks(const DayText& day, Page& page);

}  // namespace oventide::report
