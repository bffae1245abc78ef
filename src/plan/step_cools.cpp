#include <algorithm>
#include <charconv>
#include <utility>

#include "oventide/cooling.hpp"
#include "oventide/plan_file.hpp"
#include "plan/cold.hpp"
#include "plan/step.hpp"

namespace oventide::plan_file {
namespace {

// The formulas of Choi and Okos hold from 0 to 150 C, and freezing is not worked out.
constexpr MilliCelsius kColdest = 0;
constexpr MilliCelsius kHottest = 150'000;
constexpr std::int32_t kMostVessels = 100;
constexpr std::int64_t kDeepest = 1'000'000;

std::vector<std::string> food_names() {
    std::vector<std::string> names;
    for (const cooling::Food& food : cooling::foods()) names.emplace_back(food.key);
    return names;
}

// ------------------------------------------------------------------------------------------------------ food

/// Not negative, below 10^9; a whole number or one with a decimal point.
std::optional<double> read_parts(TableReader& table, std::string_view key) {
    const Node* node = table.find(key);
    if (!node) return std::nullopt;
    double value = -1;
    if (const auto* whole = std::get_if<std::int64_t>(&node->value)) value = static_cast<double>(*whole);
    if (const auto* decimal = std::get_if<double>(&node->value)) value = *decimal;
    if (value >= 0 && value < 1e9) return value;
    table.complaints().error(node->place, in_quotes(key) + " should be a number of parts, not negative",
                             "write " + std::string(key) + " = 12");
    return std::nullopt;
}

void read_food_table(const Node& node, Complaints& complaints, Cools& cools) {
    TableReader table(node, "'food'", complaints);
    FoodParts parts;
    double total = 0;
    for (const auto& [key, part] :
         {std::pair{"water", &FoodParts::water}, std::pair{"protein", &FoodParts::protein},
          std::pair{"fat", &FoodParts::fat}, std::pair{"carbohydrate", &FoodParts::carbohydrate},
          std::pair{"fibre", &FoodParts::fibre}, std::pair{"ash", &FoodParts::ash}})
        total += parts.*part = read_parts(table, key).value_or(0);
    const double air = read_parts(table, "air").value_or(0);
    table.finish();
    if (total <= 0)
        complaints.error(node.place, "this food is made of nothing",
                         "write parts by weight: food = { water = 70, fat = 7, carbohydrate = 18, protein = 5 }");
    if (air > 95)
        complaints.error(table.key_place("air"), "'air' is the share of the volume in hundredths, at most 95");
    parts.air = air / 100;
    cools.food.clear();
    cools.parts = parts;
}

void read_food(TableReader& table, Cools& cools) {
    const Node* node = table.find("food");
    if (!node) return;
    if (std::holds_alternative<Table>(node->value)) return read_food_table(*node, table.complaints(), cools);
    const auto food = read_text(*node, "food", "write food = \"custard\", or a table of parts", table.complaints());
    if (!food) return;
    if (cooling::find_food(food->text)) {
        cools.food = food->text;
        cools.parts.reset();
        return;
    }
    std::string advice = table.complaints().did_you_mean(food->text, food_names());
    if (advice.empty()) {
        advice = "there are ";
        for (const std::string& name : food_names()) advice += in_quotes(name) + ", ";
        advice += "or write parts: food = { water = 70, fat = 7, carbohydrate = 18, protein = 5 }";
    }
    table.complaints().error(food->place, "no food called " + in_quotes(food->text) + " is known", std::move(advice));
}

// ---------------------------------------------------------------------------------------------------- vessel

void read_vessel(TableReader& table, Cools& cools) {
    Complaints& complaints = table.complaints();
    if (const auto in = table.text("in")) {
        if (in->text == "tray")
            cools.vessel = Vessel::tray;
        else if (in->text == "box")
            cools.vessel = Vessel::box;
        else if (in->text == "pot")
            cools.vessel = Vessel::pot;
        else
            complaints.error(in->place, "'in' is " + in_quotes(in->text),
                             "write \"tray\" (wide and shallow), \"box\" or \"pot\"");
    }
    if (const auto over = table.whole("over", 1, kMostVessels)) cools.over = *over;
    if (const auto depth = table.length("depth")) {
        cools.depth = *depth;
        if (*depth > kDeepest) complaints.error(table.find("depth")->place, "that is deeper than a metre");
    }
    if (const auto across = table.length("across")) cools.across = *across;
    if (const auto wide = table.length("wide")) cools.wide = *wide;
    if (const auto underneath = table.yes_no("underneath")) cools.underneath = *underneath;
    if (const auto stirred = table.yes_no("stirred")) cools.stirred = *stirred;
    const bool round = cools.vessel == Vessel::pot;
    if (round && table.has("wide"))
        complaints.error(table.key_place("wide"), "a pot is round: 'across' is enough", "leave 'wide' out");
    if (round && cools.across == 0)
        complaints.error(table.key_place("in"), "how wide is the pot?", "write across = \"24 cm\"");
    if (!round && (cools.across > 0) != (cools.wide > 0))
        complaints.error(table.key_place(cools.across > 0 ? "across" : "wide"),
                         "the floor has a length and a width, and one of them is missing",
                         "write across = \"50 cm\", wide = \"30 cm\"");
    if (cools.vessel == Vessel::box && cools.across == 0 && cools.wide == 0)
        complaints.error(table.key_place("in"), "how large is the floor of the box?",
                         "write across = \"50 cm\", wide = \"30 cm\"");
}

// ----------------------------------------------------------------------------------------------- surroundings

void read_where(TableReader& table, const Kitchen* kitchen, Cools& cools) {
    const auto where = table.text("where");
    if (!where) return;
    std::vector<std::string> known;
    if (kitchen) {
        for (const Equipment& equipment : kitchen->equipment) {
            if (equipment.cold.like.empty()) continue;
            known.push_back(equipment.name);
            if (equipment.name == where->text) {
                cools.where = equipment.cold;
                return;
            }
        }
    }
    if (find_cold(where->text, cools.where)) return;
    for (const cooling::Surroundings& each : cooling::surroundings()) known.emplace_back(each.key);
    std::string guess = table.complaints().did_you_mean(where->text, known);
    table.complaints().error(where->place, "nothing is known of cooling in " + in_quotes(where->text),
                             guess.empty() ? "there are " + cold_kinds() : std::move(guess));
}

/// In the first thing that the step uses and that cools; else in some fridge where it is a chill, else on the bench.
Cold usual_place(const Step& step, const Kitchen* kitchen) {
    for (const Use& use : step.uses) {
        if (!kitchen || use.choices.empty()) continue;
        const Cold& cold = kitchen->equipment[static_cast<std::size_t>(use.choices.front())].cold;
        if (!cold.like.empty()) return cold;
    }
    Cold cold;
    find_cold(step.chill ? "fridge" : "bench", cold);
    return cold;
}

// --------------------------------------------------------------------------------------------------- together

void read_temperatures(TableReader& table, Cools& cools) {
    Complaints& complaints = table.complaints();
    for (const auto& [key, degrees] : {std::pair{"from", &Cools::from}, std::pair{"to", &Cools::to}}) {
        const auto read = table.temperature(key);
        if (!read) continue;
        cools.*degrees = *read;
        if (*read < kColdest || *read > kHottest)
            complaints.error(table.find(key)->place, "cooling is worked out from 150 C down to 0 C, without freezing");
    }
    if (table.has("from") || table.has("to")) {
        if (cools.to >= cools.from && cools.from > 0)
            complaints.error(table.key_place(table.has("to") ? "to" : "from"),
                             degrees_text(cools.from) + " to " + degrees_text(cools.to) + " is no cooling",
                             "write the warmer one under 'from'");
    }
}

/// `cools` holds what is not written.
void read_all(TableReader& table, const Kitchen* kitchen, Cools& cools) {
    read_temperatures(table, cools);
    read_vessel(table, cools);
    read_food(table, cools);
    read_where(table, kitchen, cools);
    read_measured(table, cools.where);
    table.finish();
}

}  // namespace

void read_cools(TableReader& table, const StepContext& context, Step& step) {
    const Node* node = table.find("cools");
    if (!node) return;
    TableReader own(*node, "'cools' of " + table.what(), context.complaints);
    if (!own.is_table()) return;
    if (table.has("oven"))
        context.complaints.error(node->place, "a bake does not cool", "put 'cools' at a step behind it");
    Cools cools;
    cools.place = node->place;
    cools.food = "custard";
    cools.where = usual_place(step, context.names.kitchen);
    own.require("from", "from = \"85 C\"");
    own.require("to", "to = \"5 C\"");
    read_all(own, context.names.kitchen, cools);
    const Amount makes = context.components[static_cast<std::size_t>(context.id.component)].makes;
    if (cools.depth == 0 && cools.across > 0 && makes.count > 0 && makes.unit == Amount::Unit::pieces)
        context.complaints.error(node->place, "how deep is it? Pieces do not say what they weigh",
                                 "write depth = \"5 cm\"");
    step.cools = std::move(cools);
}

}  // namespace oventide::plan_file

namespace oventide {
namespace {

/// A word of the command line as the value that it would be in a file.
plan_file::Node value_of(const std::string& word, const Place& place) {
    if (word == "true" || word == "false") return {word == "true", place};
    std::int64_t whole = 0;
    const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), whole);
    if (error == std::errc() && end == word.data() + word.size()) return {whole, place};
    return {word, place};
}

}  // namespace

CoolsReading read_cools(const std::vector<std::pair<std::string, std::string>>& words, const Cools* base,
                        const Kitchen* kitchen) {
    using namespace plan_file;
    CoolsReading reading;
    Complaints complaints;
    Table entries;
    for (const auto& [key, word] : words) entries.push_back({key, {}, value_of(word, {})});
    const Node node{entries, {}};
    TableReader table(node, "the chill", complaints);
    Cools cools = base ? *base : Cools{};
    if (!base) {
        cools.food = "custard";
        find_cold("fridge", cools.where);
        table.require("from", "from = \"85 C\"");
        table.require("to", "to = \"5 C\"");
    }
    read_all(table, kitchen, cools);
    if (complaints.errors() == 0) reading.cools = std::move(cools);
    reading.diagnostics = std::move(complaints).in_order();
    return reading;
}

WeightReading read_weight(const std::string& text) {
    const auto parsed = plan_file::parse_mass(text);
    if (parsed.value) return {parsed.value, {}};
    return {{}, {{Severity::error, {}, parsed.problem, parsed.suggestion, {}}}};
}

}  // namespace oventide
