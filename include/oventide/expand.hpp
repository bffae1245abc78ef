#pragma once
/// Plan to project: pieces to batches, batches to oven loads, hours to calendars. Gives no times.

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "oventide/diagnostic.hpp"
#include "oventide/plan.hpp"
#include "oventide/project.hpp"

namespace oventide {

/// Half open, in the unit of the component: of a component's queue, or of a batch.
struct Portion {
    std::int64_t from = 0;
    std::int64_t to = 0;
    friend bool operator==(const Portion&, const Portion&) = default;
};

/// A batch of a component: portion `share` of the component's queue of sales and uses.
struct Batch {
    ComponentIndex component = 0;
    std::int32_t number = 1;  ///< from 1, as made
    Portion share;
    /// What of it is collected: order and how much.
    struct Sale {
        std::int32_t order = 0;
        std::int64_t amount = 0;
    };
    std::vector<Sale> sales;
    /// Whole pieces that it counts for in waiting: its own, or for a mass the pieces that it goes into.
    std::int64_t weight = 0;
};

/// Batch `from` gives so much to step `step` of batch `to`.
struct FoodLink {
    std::int32_t from = 0;  ///< index into Expansion::batches
    std::int32_t to = 0;
    StepIndex step = 0;
    std::int64_t amount = 0;  ///< in the unit of the giving component
    std::int64_t weight = 0;  ///< pieces of the user that it serves
};

/// What an activity is, in the cook's words.
struct Task {
    std::int32_t batch = 0;  ///< index into Expansion::batches
    StepIndex step = 0;
    std::int32_t load = 0;  ///< from 1; 0 where the step is done batch by batch
    Portion share;          ///< of the batch
};

/// Why a constraint of the project is there, in the cook's words and with its place in the file.
struct Promise {
    enum class Kind { order, rest, within, keeps, pickup, safety, batch_order, load_order, kept_until_pickup };
    Kind kind = Kind::order;
    std::string text;  ///< "custard / chill keeps 2 days"
    Place place;
    // What of the plan says so; -1 where that is not what it is about.
    ComponentIndex component = -1;
    StepIndex step = -1;
    std::int32_t after = -1;  ///< index into Step::after
    std::int32_t draw = -1;   ///< index into Step::draws
    std::int32_t order = -1;  ///< index into Plan::orders
};

/// What a resource is, in the cook's words.
struct ResourceInfo {
    std::optional<EquipmentIndex> equipment;
    std::optional<PersonIndex> person;
};

/// What a demand of an activity is for.
struct DemandInfo {
    enum class Kind { equipment, oven, hands, wash_hands };
    Kind kind = Kind::equipment;
    std::int32_t entry = 0;   ///< index into Step::uses or Step::hands
    std::int32_t person = 0;  ///< of several people for one entry, which
};

/// Ids correspond: tasks[i] is activity i, resources[r] is resource r, demands[i][k] is demand k of activity i.
struct Expansion {
    Project project;
    Instant origin;  ///< the project's time 0
    std::vector<Batch> batches;
    std::vector<FoodLink> food;
    std::vector<Task> tasks;
    std::vector<std::vector<DemandInfo>> demands;
    std::vector<ResourceInfo> resources;
    std::vector<std::optional<MilliCelsius>> temperatures;  ///< by SettingId; absent: off
    std::vector<Promise> promises;
};

struct ExpandResult {
    std::optional<Expansion> expansion;   ///< there when no diagnostic is an error
    std::vector<Diagnostic> diagnostics;  ///< needs more than a capacity, too many activities, ...
};

ExpandResult expand(const Plan& plan);

/// What a day has made of a plan, for the same project over again: no id, batch or load changes.
struct Actual {
    const Plan* announced = nullptr;        ///< its pickups share the food out into batches
    std::map<std::string, Time> durations;  ///< of activities, by name; of others what the plan says
    /// The setting that runs so long after the start lasts so much longer.
    struct Stretched {
        Time at = 0;
        Time by = 0;
    };
    std::map<std::string, std::vector<Stretched>>
        stretched;      ///< of bakes; what they took beyond is of the last setting
    Minutes longer{0};  ///< so much is added to the horizon
};
ExpandResult expand(const Plan& plan, const Actual& actual);
/// The project of the same plan with no margin before any pickup: the same activities, some of them due later. The plan
/// expands.
Project without_margins(Plan plan);

}  // namespace oventide
