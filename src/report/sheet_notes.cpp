/// What the day sheet says in the words of the other reports.

#include <algorithm>

#include "oventide/quantities.hpp"
#include "report/allergens.hpp"
#include "report/checklist.hpp"
#include "report/cold_words.hpp"
#include "report/shared.hpp"

namespace oventide::report {
namespace {

std::vector<std::string> allergens_of(const Subject& subject, const Words& words, const Order& order,
                                      const std::vector<Contents>& contents) {
    std::vector<std::string> lines;
    for (const Item& item : order.items)
        for (const std::string& line : contains_lines(subject, words, contents[item.component]))
            lines.push_back(words.component(item.component) + ": " + line);
    return lines;
}

std::vector<sheet::Solved> solved(const Subject& subject, const std::vector<Clash>& clashes) {
    std::vector<sheet::Solved> all;
    for (const Clash& clash : clashes)
        for (const ResourceId resource : clash.resources) {
            const ResourceInfo& info = subject.expansion.resources[resource];
            all.push_back({info.equipment,
                           info.person,
                           {subject.expansion.origin + Minutes{clash.when.from},
                            subject.expansion.origin + Minutes{clash.when.to}}});
        }
    return all;
}

/// Of a day under way; empty where it does, or nothing is still to come.
std::string why_no_slips(const Subject& subject) {
    const auto& rows = subject.timetable->rows;
    const auto waits = [&](const Row& row) { return state_of(subject, row) == replan::State::waiting; };
    if (subject.day == nullptr || std::none_of(rows.begin(), rows.end(), waits)) return "";
    if (std::any_of(rows.begin(), rows.end(), [](const Row& row) { return row.slip.has_value(); })) return "";
    return subject.open == nullptr ? "Slip is not told: as things are, a limit cannot be kept."
                                   : "Slip is not told: it hangs on what has no time yet.";
}

}  // namespace

sheet::Notes sheet_notes(const Subject& subject, const std::vector<Clash>& clashes) {
    sheet::Notes notes;
    if (subject.timetable == nullptr) return notes;
    const Words words(subject, false);
    const Days days(subject.zone, span_of(subject));
    notes.solved = solved(subject, clashes);
    if (subject.day != nullptr) notes.now = subject.day->now;
    notes.as_of = as_of_text(subject, days);
    notes.no_slips = why_no_slips(subject);
    for (std::size_t row = 0; row < subject.timetable->rows.size(); ++row)
        notes.cold.push_back(cold_words(subject, days, row));
    for (const std::string& text : waiting_texts(subject, words, days)) notes.mind.push_back({text});
    for (const Order& order : subject.plan.orders)
        notes.unready.push_back(
            unready_text(subject, words, static_cast<std::int32_t>(&order - subject.plan.orders.data())));
    for (const Caution& caution : cautions(subject, words, days, "under each pickup stands"))
        notes.mind.push_back({caution.text, caution.people});
    if (const std::string ready = ready_text(subject, words); !ready.empty()) notes.ready.push_back(ready);
    const auto tables = weigh(subject.plan, *subject.timetable);
    notes.weighed = to_weigh_out(subject, words, [&](ComponentIndex component) {
        return std::none_of(tables.begin(), tables.end(),
                            [&](const WeighedBatch& batch) { return batch.component == component; });
    });
    if (subject.plan.ingredients.empty()) return notes;
    const auto contents = contents_of(subject.plan);
    for (const Order& order : subject.plan.orders)
        notes.allergens.push_back(allergens_of(subject, words, order, contents));
    return notes;
}

}  // namespace oventide::report
