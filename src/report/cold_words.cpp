#include "report/cold_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "oventide/watch.hpp"
#include "report/shared.hpp"

namespace oventide::report {
namespace {

/// By when, where that is known, and what.
struct Target {
    std::optional<Instant> by;
    std::string text;
};

class Cooled {
public:
    Cooled(const Subject& subject, const Days& days, std::size_t index)
        : subject_(subject),
          days_(days),
          index_(index),
          row_(subject.timetable->rows[index]),
          step_(subject.plan.components[row_.component].steps[row_.step]) {}

    sheet::Cold words() const {
        if (!step_.chill && !step_.cools) return {};
        const auto rule = find_safety_rule(subject_.plan.safety.rule);
        const auto cooked =
            step_.chill && rule ? chill::cooked_at(subject_.plan, *subject_.timetable, row_) : std::nullopt;
        sheet::Cold cold;
        std::optional<Instant> in_by = step_.chill ? latest_by_plan() : std::nullopt;
        if (cooked && rule->limits_chill_start)
            in_by = std::min(in_by.value_or(Instant::max()), *cooked + rule->chill_within);
        if (in_by) cold.in_by = *in_by <= row_.start ? "at once" : "in by " + days_.time_from(*in_by, row_.start);
        std::vector<Target> targets;
        if (cooked) add_stages(*rule, *cooked, targets);
        if (step_.cools) {
            const std::string to = on_one_line(heat_text(subject_.plan, step_.cools->to));
            cold.inside = to + " inside";
            targets.push_back({row_.ready, to});
        }
        cold.wanted = text_of(std::move(targets));
        if (!cold.wanted.empty()) cold.wanted += ", probe";
        if (!cold.wanted.empty()) cold.inside += cold.inside.empty() ? "probe" : ", probe";
        return cold;
    }

private:
    /// The plan's own `within`, of what comes before it in its batch; absent where there is none.
    std::optional<Instant> latest_by_plan() const {
        std::optional<Instant> latest;
        for (const After& after : step_.after) {
            if (!after.within || after.component != row_.component) continue;
            for (const Row& before : subject_.timetable->rows) {
                const bool is_meant = before.component == row_.component && before.batch == row_.batch &&
                                      before.step == after.step &&
                                      (before.load == 0 || row_.load == 0 || before.load == row_.load);
                if (is_meant) latest = std::min(latest.value_or(Instant::max()), before.ready + *after.within);
            }
        }
        return latest;
    }

    void add_stages(const SafetyRule& rule, Instant cooked, std::vector<Target>& targets) const {
        std::size_t stage = 0;
        for (const chill::Remark& remark : subject_.chills)
            if (remark.row == index_ && remark.kind == chill::Remark::Kind::stage && stage < rule.stages.size()) {
                targets.push_back({remark.due, remark.due ? degrees(rule.stages[stage].to) : remark.text});
                ++stage;
            }
        if (stage > 0) return;
        for (const CoolingStage& one : rule.stages) {
            if (!one.from)
                targets.push_back({cooked + one.within, degrees(one.to)});
            else
                targets.push_back(
                    {std::nullopt, fmt::format("{} to {} {} {}", degrees(*one.from), degrees(one.to),
                                               one.strictly ? "in under" : "within", duration_text(one.within))});
        }
    }

    static std::string on_one_line(std::string degrees) { return degrees.replace(degrees.find(' '), 1, "\u00a0"); }
    static std::string degrees(double celsius) { return on_one_line(fmt::format("{:g} C", celsius)); }

    /// "21 C by 14:20, 12 C by 15:40".
    std::string text_of(std::vector<Target> targets) const {
        std::stable_sort(targets.begin(), targets.end(), [](const Target& a, const Target& b) {
            return a.by.value_or(Instant::max()) < b.by.value_or(Instant::max());
        });
        std::vector<std::string> texts;
        for (const Target& target : targets)
            texts.push_back(target.text + (target.by ? " by " + days_.time_from(*target.by, row_.start) : ""));
        return joined(texts);
    }

    const Subject& subject_;
    const Days& days_;
    std::size_t index_;
    const Row& row_;
    const Step& step_;
};

}  // namespace

sheet::Cold cold_words(const Subject& subject, const Days& days, std::size_t row) {
    return Cooled(subject, days, row).words();
}

std::string cold_text(const Subject& subject, const Days& days, const Job& job) {
    if (job.row < 0 || job.kind == Job::Kind::washing) return "";
    const sheet::Cold must = cold_words(subject, days, static_cast<std::size_t>(job.row));
    std::string text;
    const auto add = [&](const std::string& said) { text += said.empty() ? "" : "; " + said; };
    if (job.span.from == subject.timetable->rows[static_cast<std::size_t>(job.row)].start) {
        add(must.in_by);
        add(must.wanted);
    } else if (job.kind == Job::Kind::out) {
        add(must.inside);
    }
    return text;
}

}  // namespace oventide::report
