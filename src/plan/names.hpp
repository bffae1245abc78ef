#pragma once
/// What the names of a plan mean: components, steps, equipment, people.

#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "oventide/plan.hpp"
#include "plan/complaints.hpp"
#include "plan/table_reader.hpp"

namespace oventide::plan_file {

/// Reads and checks the `name` of a table: there, not empty, of sensible length, without control characters.
std::optional<Name> read_name(TableReader& table, std::string_view example);
bool check_name(const Name& name, Complaints& complaints);

/// Names of one sort, each once, in the order written.
class NameList {
public:
    /// Adds a name under the next index. A second one of the same spelling is told, with the place of the first.
    void add(const std::string& what, const Name& name, Complaints& complaints);
    /// Adds an index that no name leads to.
    void add_nameless();
    std::optional<std::int32_t> find(const std::string& name) const;
    const std::vector<std::string>& all() const { return names_; }
    std::size_t size() const { return places_.size(); }

private:
    std::map<std::string, std::int32_t> index_;
    std::vector<std::string> names_;
    std::vector<Place> places_;
};

struct StepId {
    ComponentIndex component = 0;
    StepIndex step = 0;
};

/// Everything that a step or an order can name. `find_...` tells a name that is not there, with the nearest that is;
/// it keeps quiet where the file with the names could not be read, since that has been told.
class Names {
public:
    explicit Names(Complaints& complaints) : complaints_(complaints) {}

    const Kitchen* kitchen = nullptr;  ///< null: unreadable
    NameList components;
    std::vector<NameList> steps;  ///< by component
    bool all_components = true;   ///< every file with components could be read

    std::optional<ComponentIndex> find_component(const Name& name) const;
    /// "chill" (of `component`) or "custard.chill".
    std::optional<StepId> find_step(const Name& name, ComponentIndex component) const;
    /// A name, or a kind for all of that kind. Never an oven where `ovens` is false, and nothing else where it is true.
    std::vector<EquipmentIndex> find_equipment(const Name& name, bool ovens) const;
    std::vector<PersonIndex> find_people(const std::vector<Name>& names) const;

private:
    std::optional<StepId> find_qualified(const std::string& name) const;

    Complaints& complaints_;
};

const char* kind_name(EquipmentKind kind);

}  // namespace oventide::plan_file
