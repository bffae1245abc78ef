#pragma once
/// Timetable to text and JSON. Makes no decisions, writes no bytes.

#include <string>
#include <vector>

#include "oventide/check.hpp"
#include "oventide/chill.hpp"
#include "oventide/chilling.hpp"
#include "oventide/clashes.hpp"
#include "oventide/clock.hpp"
#include "oventide/diagnostic.hpp"
#include "oventide/expand.hpp"
#include "oventide/plan.hpp"
#include "oventide/replan.hpp"
#include "oventide/safety.hpp"
#include "oventide/scheduler.hpp"
#include "oventide/sheet.hpp"
#include "oventide/timetable.hpp"
#include "oventide/ways.hpp"

namespace oventide::report {

struct Style {
    bool colour = false;  ///< never the only carrier of a meaning
    int width = 80;       ///< columns, at least 60
    bool ascii = false;   ///< plain ASCII only
};

/// What every report needs to know.
struct Subject {
    const Plan& plan;
    const clock::Zone& zone;
    const Expansion& expansion;
    const Outcome& outcome;
    const Timetable* timetable = nullptr;    ///< null: there is none
    const Sources* sources = nullptr;        ///< so that promises are shown with their place; null: without
    const ways::WhyNot* why = nullptr;       ///< where there is no timetable: null, it was not looked into
    const ways::WaysOut* pickups = nullptr;  ///< where there is no timetable: pickups that could be promised instead
    std::vector<chill::Remark> chills{};     ///< of the timetable
    const replan::Situation* day = nullptr;  ///< of a day on which something has happened; null: as planned
    const replan::OpenDay* open = nullptr;   ///< of such a day: what has no time yet; null: all has
    std::vector<replan::Broken> broken{};    ///< of such a day: limits that are not kept
};

/// How long will a chill take? Of a plan's step, or asked without a plan.
struct ChillQuestion {
    std::string name;  ///< "custard.chill"; empty without a plan
    Cools cools;
    std::int64_t milligrams = 0;          ///< all of it; 0: the depth alone tells
    std::optional<Minutes> planned;       ///< what the plan gives it
    std::optional<chill::Answer> answer;  ///< empty: there is no depth, and no way to find one
};

struct ChillQuestions {
    std::vector<ChillQuestion> asked;
    std::optional<SafetyRule> rule;
};

std::string timetable_text(const Subject& subject, const Style& style);
/// The same day drawn in characters: a lane for each person and each piece of equipment.
std::string picture_text(const Subject& subject, const Style& style);
std::string timetable_json(const Subject& subject);
std::string clashes_text(const Subject& subject, const std::vector<Clash>& clashes, const Style& style);
std::string clashes_json(const Subject& subject, const std::vector<Clash>& clashes);
/// `people`: whose jobs; empty: everybody's, and those that fall in nobody's hours.
std::string checklist_text(const Subject& subject, const Style& style, const std::vector<PersonIndex>& people = {});
std::string checklist_json(const Subject& subject, const std::vector<PersonIndex>& people = {});
/// For the day sheet, which says the same.
sheet::Notes sheet_notes(const Subject& subject, const std::vector<Clash>& clashes);
std::string weigh_text(const Subject& subject, const Style& style);
std::string weigh_json(const Subject& subject);
std::string shop_text(const Subject& subject, const Style& style);
std::string shop_json(const Subject& subject);
/// These two need no timetable.
std::string allergens_text(const Subject& subject, const Style& style);
std::string allergens_json(const Subject& subject);
std::string no_timetable_text(const Subject& subject, const Style& style);
std::string ways_text(const Subject& subject, const ways::WhyNot& why, const ways::WaysOut& out, const Style& style);
std::string ways_json(const Subject& subject, const ways::WhyNot& why, const ways::WaysOut& out);
std::string gains_text(const Subject& subject, const ways::Gains& gains, const Style& style);
std::string gains_json(const Subject& subject, const ways::Gains& gains);
std::string chill_text(const ChillQuestions& questions, const Style& style);
std::string chill_json(const ChillQuestions& questions);
/// The scheduling problem itself, every field of project.hpp under its own name (null: no limit, or nothing), times in
/// minutes from `origin` (minutes since 1970), so that an outside model can solve it.
std::string project_json(const Expansion& expansion);
/// A day on which something has happened; see replan.hpp.
/// A running step that cools, what a probe has read of it so far, and what follows from that.
struct ChillUnderWay {
    ActivityId step = 0;
    std::vector<chill::Probed> readings;
    std::optional<chill::Running> running;  ///< absent where the plan does not say how it cools
    std::vector<chill::Limit> limits;       ///< of the plan's food-safety rule
    /// Were it cold only at `running->latest`: the orders that are later for it.
    std::vector<replan::WayOut::Late> late_if_latest{};
};

struct Day {
    const Expansion& planned;
    const clock::Zone& zone;
    const replan::Situation& situation;
    const replan::Replanned& result;
    std::vector<ChillUnderWay> chills = {};
};
std::string replan_text(const Day& day, const Style& style);
std::string replan_json(const Day& day);

std::string diagnostics_json(const std::vector<Diagnostic>& diagnostics, const Sources& sources);

}  // namespace oventide::report
