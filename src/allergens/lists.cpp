#include <algorithm>
#include <array>
#include <cctype>

#include "oventide/allergens.hpp"

namespace oventide {
namespace {

/// Annex II names cereals and nuts by their kinds. Pine nuts are a tree nut for the FDA and none for the Annex (from
/// memory).
constexpr std::array kAllergens{
    Allergen{"wheat", 1, 7},          Allergen{"spelt", 1, 7},
    Allergen{"khorasan wheat", 1, 7}, Allergen{"rye", 1, 0},
    Allergen{"barley", 1, 0},         Allergen{"oats", 1, 0},
    Allergen{"crustaceans", 2, 4},    Allergen{"eggs", 3, 2},
    Allergen{"fish", 4, 3},           Allergen{"peanuts", 5, 6},
    Allergen{"soybeans", 6, 8},       Allergen{"milk", 7, 1},
    Allergen{"almonds", 8, 5},        Allergen{"hazelnuts", 8, 5},
    Allergen{"walnuts", 8, 5},        Allergen{"cashews", 8, 5},
    Allergen{"pecan nuts", 8, 5},     Allergen{"Brazil nuts", 8, 5},
    Allergen{"pistachio nuts", 8, 5}, Allergen{"macadamia nuts", 8, 5},
    Allergen{"pine nuts", 0, 5},      Allergen{"celery", 9, 0},
    Allergen{"mustard", 10, 0},       Allergen{"sesame", 11, 9},
    Allergen{"sulphites", 12, 0},     Allergen{"lupin", 13, 0},
    Allergen{"molluscs", 14, 0},
};

constexpr std::array<std::string_view, 14> kEuGroups{"cereals containing gluten",
                                                     "crustaceans",
                                                     "eggs",
                                                     "fish",
                                                     "peanuts",
                                                     "soybeans",
                                                     "milk",
                                                     "nuts",
                                                     "celery",
                                                     "mustard",
                                                     "sesame seeds",
                                                     "sulphur dioxide and sulphites",
                                                     "lupin",
                                                     "molluscs"};

constexpr std::array<std::string_view, 9> kUsGroups{
    "milk", "eggs", "fish", "Crustacean shellfish", "tree nuts", "peanuts", "wheat", "soybeans", "sesame"};

constexpr std::string_view kEuSource =
    "the 14 groups of Regulation (EU) No 1169/2011, Annex II; named and set apart in the list of ingredients as its "
    "Article 21 asks; sulphites count above 10 mg/kg or 10 mg/l";
constexpr std::string_view kUsSource =
    "the 9 major food allergens of the United States: Food Allergen Labeling and Consumer Protection Act of 2004, and "
    "the FASTER Act of 2021 for sesame";

struct OtherName {
    std::string_view name;
    std::string_view allergen;
};

constexpr std::array kOtherNames{
    OtherName{"oat", "oats"},
    OtherName{"khorasan", "khorasan wheat"},
    OtherName{"crustacean", "crustaceans"},
    OtherName{"egg", "eggs"},
    OtherName{"peanut", "peanuts"},
    OtherName{"soy", "soybeans"},
    OtherName{"soya", "soybeans"},
    OtherName{"soybean", "soybeans"},
    OtherName{"lactose", "milk"},
    OtherName{"almond", "almonds"},
    OtherName{"hazelnut", "hazelnuts"},
    OtherName{"walnut", "walnuts"},
    OtherName{"cashew", "cashews"},
    OtherName{"cashew nuts", "cashews"},
    OtherName{"pecan", "pecan nuts"},
    OtherName{"pecans", "pecan nuts"},
    OtherName{"brazil nut", "Brazil nuts"},
    OtherName{"brazil nuts", "Brazil nuts"},
    OtherName{"pistachio", "pistachio nuts"},
    OtherName{"pistachios", "pistachio nuts"},
    OtherName{"macadamia", "macadamia nuts"},
    OtherName{"macadamias", "macadamia nuts"},
    OtherName{"queensland nuts", "macadamia nuts"},
    OtherName{"pine nut", "pine nuts"},
    OtherName{"sesame seeds", "sesame"},
    OtherName{"sulphite", "sulphites"},
    OtherName{"sulfites", "sulphites"},
    OtherName{"sulphur dioxide", "sulphites"},
    OtherName{"mollusc", "molluscs"},
};

struct GroupWord {
    std::string_view word;
    int eu;
};

constexpr std::array kGroupWords{
    GroupWord{"gluten", 1}, GroupWord{"cereals", 1}, GroupWord{"cereals containing gluten", 1},
    GroupWord{"nuts", 8},   GroupWord{"nut", 8},     GroupWord{"tree nuts", 8},
};

std::string lower(std::string_view text) {
    std::string result(text);
    for (char& c : result) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    return result;
}

}  // namespace

std::span<const Allergen> allergens() { return kAllergens; }

std::span<const std::string_view> allergen_groups(AllergenList list) {
    if (list == AllergenList::eu) return kEuGroups;
    return kUsGroups;
}

std::string_view allergen_source(AllergenList list) { return list == AllergenList::eu ? kEuSource : kUsSource; }

int group_of(AllergenIndex allergen, AllergenList list) {
    const Allergen& one = kAllergens[static_cast<std::size_t>(allergen)];
    return list == AllergenList::eu ? one.eu : one.us;
}

std::optional<AllergenIndex> find_allergen(std::string_view name) {
    std::string word = lower(name);
    for (const OtherName& other : kOtherNames)
        if (word == other.name) word = lower(other.allergen);
    const auto at = std::find_if(kAllergens.begin(), kAllergens.end(),
                                 [&](const Allergen& allergen) { return lower(allergen.name) == word; });
    if (at == kAllergens.end()) return std::nullopt;
    return static_cast<AllergenIndex>(at - kAllergens.begin());
}

std::vector<std::string> kinds_of_group(std::string_view word) {
    std::vector<std::string> kinds;
    for (const GroupWord& group : kGroupWords)
        if (lower(word) == group.word)
            for (const Allergen& allergen : kAllergens)
                if (allergen.eu == group.eu) kinds.emplace_back(allergen.name);
    return kinds;
}

}  // namespace oventide
