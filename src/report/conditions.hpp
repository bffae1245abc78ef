#pragma once
/// Conditions of a plan, and changes to it, in the cook's words.

#include <optional>
#include <string>
#include <vector>

#include "oventide/ways.hpp"
#include "report/shared.hpp"

namespace oventide::report {

class ConditionWords {
public:
    ConditionWords(const Subject& subject, const Words& words, const Days& days)
        : subject_(subject), words_(words), days_(days) {}

    /// "Noon table is done by Sat 10 Oct 12:15: 15 min before its pickup (plan.toml:22)"
    std::string text(const ways::Condition& condition) const;
    /// "Noon table is collected Sat 10 Oct 13:05, 35 min later"
    std::string text(const ways::Change& change) const;
    /// The file, and the line; empty where it is not known.
    std::string in_brackets(const Place& place) const;
    /// "mixer", "a tray in the oven"
    std::string one_more(EquipmentIndex equipment) const;

    /// Steps that take too long one after another, where that is all of the contradiction; else empty.
    std::string chain(const ways::WhyNot& why) const;

private:
    std::string spans(const std::vector<Span>& spans) const;
    std::string only(const std::optional<Span>& span) const;
    std::string span(const Span& span) const;
    std::string in_loads(EquipmentIndex oven) const;
    std::string amount(EquipmentIndex equipment) const;

    const Subject& subject_;
    const Words& words_;
    const Days& days_;
};

/// The conditions that contradict each other, one a paragraph, and what steps come to where times alone are why.
void add_why_not(const Subject& subject, const ways::WhyNot& why, const Words& words, const Days& days, Page& page);

/// Everything that a page about a plan without a timetable may name, a day to either side.
Span span_with_room(const Subject& subject);

}  // namespace oventide::report
