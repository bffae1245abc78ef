#include "plan/names.hpp"

#include <algorithm>

#include "oventide/plan_file.hpp"

namespace oventide::plan_file {
namespace {

/// Control characters of ASCII and of Latin-1, which UTF-8 writes as C2 80 to C2 9F.
bool has_control_character(const std::string& text) {
    for (std::size_t i = 0; i < text.size(); ++i) {
        const auto c = static_cast<unsigned char>(text[i]);
        if (c < 0x20 || c == 0x7f) return true;
        if (c == 0xc2 && i + 1 < text.size() && static_cast<unsigned char>(text[i + 1]) < 0xa0) return true;
    }
    return false;
}

std::size_t character_count(const std::string& text) {
    return static_cast<std::size_t>(
        std::count_if(text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xc0) != 0x80; }));
}

/// "there is 'bun'", "there are 'bun', 'tart case'".
std::string there_are(const std::vector<std::string>& names) {
    constexpr std::size_t most = 8;
    if (names.empty()) return {};
    std::string text = names.size() == 1 ? "there is " : "there are ";
    for (std::size_t i = 0; i < names.size() && i < most; ++i) text += (i ? ", " : "") + in_quotes(names[i]);
    if (names.size() > most) text += ", ...";
    return text;
}

}  // namespace

const char* kind_name(EquipmentKind kind) {
    switch (kind) {
        case EquipmentKind::oven:
            return "oven";
        case EquipmentKind::mixer:
            return "mixer";
        case EquipmentKind::hob:
            return "hob";
        case EquipmentKind::fridge:
            return "fridge";
        default:
            return "equipment";
    }
}

bool check_name(const Name& name, Complaints& complaints) {
    const auto refuse = [&](const std::string& why) {
        complaints.error(name.place, why);
        return false;
    };
    if (name.text.find_first_not_of(' ') == std::string::npos) return refuse("this name is empty");
    if (has_control_character(name.text))
        return refuse("this name holds a control character (a tab, a line break, ...)");
    if (character_count(name.text) > Limits::name_characters)
        return refuse("this name is longer than " + std::to_string(Limits::name_characters) + " characters");
    return true;
}

std::optional<Name> read_name(TableReader& table, std::string_view example) {
    table.require("name", "name = \"" + std::string(example) + "\"");
    auto name = table.text("name");
    if (name && !check_name(*name, table.complaints())) return std::nullopt;
    return name;
}

void NameList::add(const std::string& what, const Name& name, Complaints& complaints) {
    const auto [at, added] = index_.emplace(name.text, static_cast<std::int32_t>(places_.size()));
    if (added)
        names_.push_back(name.text);
    else
        complaints.error(name.place, "there are two " + what + " called " + in_quotes(name.text),
                         "give one another name",
                         {{places_[static_cast<std::size_t>(at->second)], "the first is here"}});
    places_.push_back(name.place);
}

void NameList::add_nameless() { places_.emplace_back(); }

std::optional<std::int32_t> NameList::find(const std::string& name) const {
    const auto at = index_.find(name);
    if (at == index_.end()) return std::nullopt;
    return at->second;
}

std::optional<ComponentIndex> Names::find_component(const Name& name) const {
    const auto found = components.find(name.text);
    if (!found && all_components) {
        std::string guess = complaints_.did_you_mean(name.text, components.all());
        if (guess.empty()) guess = there_are(components.all());
        complaints_.error(name.place, "no component called " + in_quotes(name.text), std::move(guess));
    }
    return found;
}

std::optional<StepId> Names::find_qualified(const std::string& name) const {
    for (std::size_t dot = name.find('.'); dot != std::string::npos; dot = name.find('.', dot + 1)) {
        const auto component = components.find(name.substr(0, dot));
        if (!component) continue;
        const auto step = steps[static_cast<std::size_t>(*component)].find(name.substr(dot + 1));
        if (step) return StepId{*component, *step};
    }
    return std::nullopt;
}

std::optional<StepId> Names::find_step(const Name& name, ComponentIndex component) const {
    const NameList& own = steps[static_cast<std::size_t>(component)];
    if (const auto step = own.find(name.text)) return StepId{component, *step};
    if (const auto found = find_qualified(name.text)) return found;
    if (!all_components && name.text.find('.') != std::string::npos) return std::nullopt;

    if (const auto other = components.find(name.text); other && *other != component) {
        const auto& its_steps = steps[static_cast<std::size_t>(*other)].all();
        const std::string step = its_steps.empty() ? "..." : its_steps.back();
        complaints_.error(name.place, in_quotes(name.text) + " is a component, not a step",
                          "write \"" + name.text + "." + step + "\"");
        return std::nullopt;
    }
    const std::size_t dot = name.text.find('.');
    if (dot != std::string::npos) {
        const std::string left = name.text.substr(0, dot), right = name.text.substr(dot + 1);
        if (const auto other = components.find(left)) {
            const auto& known = steps[static_cast<std::size_t>(*other)].all();
            std::string guess = complaints_.did_you_mean(right, known);
            if (guess.empty()) guess = there_are(known);
            complaints_.error(name.place, "no step called " + in_quotes(right) + " in component " + in_quotes(left),
                              std::move(guess));
        } else {
            complaints_.error(name.place, "no component called " + in_quotes(left),
                              complaints_.did_you_mean(left, components.all()));
        }
        return std::nullopt;
    }
    std::string guess = complaints_.did_you_mean(name.text, own.all());
    if (guess.empty()) guess = there_are(own.all());
    std::string where = "component";
    for (const std::string& known : components.all())
        if (components.find(known) == component) where = "component " + in_quotes(known);
    complaints_.error(name.place, "no step called " + in_quotes(name.text) + " in " + where, std::move(guess));
    return std::nullopt;
}

std::vector<EquipmentIndex> Names::find_equipment(const Name& name, bool ovens) const {
    std::vector<EquipmentIndex> found;
    if (!kitchen) return found;
    const auto& all = kitchen->equipment;
    std::vector<std::string> known;
    const auto fits = [&](const Equipment& e) { return (e.kind == EquipmentKind::oven) == ovens; };
    for (std::size_t i = 0; i < all.size(); ++i) {
        const bool kind = all[i].kind != EquipmentKind::other && name.text == kind_name(all[i].kind);
        if (fits(all[i]) && (kind || all[i].name == name.text)) found.push_back(static_cast<EquipmentIndex>(i));
        if (fits(all[i])) known.push_back(all[i].name);
    }
    if (!found.empty()) return found;
    const auto other = std::find_if(all.begin(), all.end(), [&](const Equipment& e) { return e.name == name.text; });
    if (other != all.end() || (!ovens && name.text == "oven")) {
        complaints_.error(name.place,
                          ovens ? in_quotes(name.text) + " is no oven" : "an oven is not asked for with 'uses'",
                          ovens ? there_are(known) : "write oven = \"180 C\" and tray = 12");
        return found;
    }
    std::string guess = complaints_.did_you_mean(name.text, known);
    if (guess.empty()) guess = there_are(known);
    complaints_.error(name.place,
                      std::string("no ") + (ovens ? "oven" : "equipment") + " called " + in_quotes(name.text),
                      std::move(guess));
    return found;
}

std::vector<PersonIndex> Names::find_people(const std::vector<Name>& names) const {
    std::vector<PersonIndex> found;
    if (!kitchen) return found;
    for (const Name& name : names) {
        const auto& crew = kitchen->crew;
        const auto person =
            std::find_if(crew.begin(), crew.end(), [&](const Person& p) { return p.name == name.text; });
        if (person != crew.end()) {
            const auto index = static_cast<PersonIndex>(person - crew.begin());
            if (std::find(found.begin(), found.end(), index) == found.end()) found.push_back(index);
            continue;
        }
        std::vector<std::string> known;
        for (const Person& p : crew) known.push_back(p.name);
        std::string guess = complaints_.did_you_mean(name.text, known);
        if (guess.empty()) guess = there_are(known);
        complaints_.error(name.place, "nobody in the crew is called " + in_quotes(name.text), std::move(guess));
    }
    return found;
}

}  // namespace oventide::plan_file
