#include "replan/oven_past.hpp"

#include <algorithm>
#include <tuple>
#include <utility>

namespace oventide::replan {

OvenHeat::OvenHeat(const Kitchen& kitchen, EquipmentIndex oven)
    : oven_(&kitchen.equipment[oven]), room_(kitchen.room), heat_(kitchen.room) {}

void OvenHeat::bakes(Instant at, std::optional<MilliCelsius> setting) {
    turns(at, setting);
    if (setting) heat_ = *setting;
}

void OvenHeat::turns(Instant at, std::optional<MilliCelsius> setting) {
    heat_ = heat(at);
    setting_ = setting;
    since_ = at;
}

void OvenHeat::breaks(Instant at) {
    setting_.reset();
    heat_ = room_;
    since_ = at;
}

MilliCelsius OvenHeat::heat(Instant at) const {
    const MilliCelsius wanted = setting_.value_or(std::min(room_, heat_));
    const auto minutes = std::max<std::int64_t>(0, (at - since_).count());
    if (heat_ < wanted) return std::min<MilliCelsius>(wanted, heat_ + oven_->heats * minutes);
    return std::max<MilliCelsius>(wanted, heat_ - oven_->cools * minutes);
}

namespace {

/// In whole minutes, rounded up.
Minutes time_for(MilliCelsius way, MilliCelsius rate) { return Minutes{way <= 0 ? 0 : (way + rate - 1) / rate}; }

}  // namespace

Minutes OvenHeat::until_hot(Instant at, MilliCelsius wanted) const {
    const MilliCelsius from = heat(at);
    return from < wanted ? time_for(wanted - from, oven_->heats) : time_for(from - wanted, oven_->cools);
}

Minutes OvenHeat::until_cold(Instant at) const { return time_for(heat(at) - room_, oven_->cools); }

std::vector<Baked> loads_in(const Left& left, ResourceId oven) {
    std::vector<Baked> loads;
    for (std::size_t id = 0; id < left.happened.size(); ++id) {
        if (!left.happened[id]) continue;
        const Activity& activity = left.whole.activities[id];
        for (std::size_t k = 0; k < activity.demands.size(); ++k) {
            const Demand& demand = activity.demands[k];
            if (demand.stages.empty() || left.expansion.project.activities[id].demands[k].choices.front() != oven)
                continue;
            Baked& load = loads.emplace_back();
            Instant at = left.expansion.origin + Minutes{left.fixed[id]};
            load.span = {at, at + Minutes{activity.duration}};
            for (const Stage& stage : demand.stages) {
                load.stages.push_back({at, left.expansion.temperatures[stage.setting]});
                at += Minutes{stage.lasts};
            }
        }
    }
    std::ranges::stable_sort(loads, {}, [](const Baked& load) { return load.span.from; });
    return loads;
}

OvenEvent breaking(EquipmentIndex oven, Instant at) {
    OvenEvent event{OvenEvent::Kind::off, oven, at, std::nullopt};
    event.breaks = true;
    return event;
}

namespace {

/// One oven, from one load to the next.
class Gap {
public:
    /// `last`: what came out at the beginning; null where nothing has been in there.
    Gap(const Situation& situation, EquipmentIndex oven, const Baked* last, Span span)
        : situation_(situation), oven_(oven), empty_{span, {}, OvenHeat(situation.today.kitchen, oven)} {
        if (last != nullptr) begin(*last);
        for (const Span& broken : breaks())
            if (span.from <= broken.from && broken.from <= span.to) turns_.push_back({broken.from, std::nullopt, true});
        for (const Turned& turn : told())
            if (span.from <= turn.at && turn.at < span.to && !is_broken(turn.at))
                turns_.push_back({turn.at, turn.setting});
    }

    WhileEmpty tell() && {
        std::ranges::stable_sort(turns_, {}, &Turn::at);
        for (const Turn& turn : turns_) take(turn);
        if (hot_) empty_.events.push_back(*hot_);
        return std::move(empty_);
    }

private:
    struct Turn {
        Instant at;
        std::optional<MilliCelsius> setting;
        bool breaks = false;
    };

    const std::vector<Turned>& told() const { return situation_.told_turns[static_cast<std::size_t>(oven_)]; }
    const std::vector<Span>& breaks() const { return situation_.broken[static_cast<std::size_t>(oven_)]; }
    bool is_broken(Instant at) const {
        return std::ranges::any_of(breaks(), [&](const Span& span) { return span.from <= at && at < span.to; });
    }

    /// What was announced for when the load is out is done when it is, though that is later than announced.
    void begin(const Baked& last) {
        for (const Baked::Stage& stage : last.stages)
            if (stage.from < last.span.to) empty_.heat.bakes(stage.from, stage.setting);
        const Instant out = last.span.to;
        const auto taken_out = [&](const Span& broken) { return broken.from < out && out < broken.to; };
        if (std::ranges::any_of(breaks(), taken_out)) return empty_.heat.breaks(out);
        const Turned* next = nullptr;
        for (const Turned& turn : told())
            if (last.span.from < turn.at && turn.at < out) next = &turn;
        if (next != nullptr && out < empty_.span.to) turns_.push_back({out, next->setting});
    }

    void take(const Turn& turn) {
        using Kind = OvenEvent::Kind;
        const auto before = empty_.heat.setting();
        if (before != turn.setting) {
            if (hot_ && hot_->at < turn.at) empty_.events.push_back(*hot_);
            hot_.reset();
            const Kind kind = !turn.setting ? Kind::off : before ? Kind::set : Kind::on;
            empty_.events.push_back(turn.breaks ? breaking(oven_, turn.at)
                                                : OvenEvent{kind, oven_, turn.at, turn.setting});
            if (turn.setting)
                hot_ = {Kind::hot, oven_, turn.at + empty_.heat.until_hot(turn.at, *turn.setting), turn.setting};
            empty_.heat.turns(turn.at, turn.setting);
        }
        if (turn.breaks) empty_.heat.breaks(turn.at);
    }

    const Situation& situation_;
    EquipmentIndex oven_;
    WhileEmpty empty_;
    std::vector<Turn> turns_;
    std::optional<OvenEvent> hot_;
};

}  // namespace

std::vector<WhileEmpty> empty_times(const Situation& situation, EquipmentIndex oven, const std::vector<Baked>& loads) {
    std::vector<WhileEmpty> times;
    const Baked* last = nullptr;
    for (const Baked& load : loads) {
        const Instant out = last != nullptr ? last->span.to : Instant{};
        if (out < load.span.from) times.push_back(Gap(situation, oven, last, {out, load.span.from}).tell());
        if (last == nullptr || load.span.to > last->span.to) last = &load;
    }
    const Instant out = last != nullptr ? last->span.to : Instant{};
    if (out <= situation.now) times.push_back(Gap(situation, oven, last, {out, situation.now}).tell());
    return times;
}

std::optional<OvenHeat> heat_now(const Situation& situation, EquipmentIndex oven, const std::vector<Baked>& loads) {
    const auto times = empty_times(situation, oven, loads);
    if (times.empty() || times.back().span.to != situation.now) return std::nullopt;
    return times.back().heat;
}

namespace {

/// The story of one oven.
class Story {
public:
    Story(const Situation& situation, EquipmentIndex oven, const std::vector<Baked>& loads, Timetable& day)
        : situation_(situation), oven_(oven), loads_(loads), day_(day) {
        for (const OvenEvent& event : day.oven)
            if (event.oven == oven) events_.push_back(event);
    }

    void tell() {
        for (const WhileEmpty& empty : empty_times(situation_, oven_, loads_)) {
            if (empty.span.to == situation_.now && !is_start(situation_.now))
                go_on_from(empty);
            else if (leads_to_load(empty))
                put(empty);
        }
        join();
        std::erase_if(day_.oven, [&](const OvenEvent& event) { return event.oven == oven_; });
        day_.oven.insert(day_.oven.end(), events_.begin(), events_.end());
    }

private:
    using Kind = OvenEvent::Kind;

    /// What is told piece by piece need not fit together: an oven that is off cannot be switched off.
    void join() {
        std::vector<OvenEvent> joined;
        std::optional<MilliCelsius> setting;
        for (OvenEvent& event : events_) {
            if (is_turn(event)) {
                if (event.temperature == setting) continue;
                if (event.temperature) event.kind = setting ? Kind::set : Kind::on;
                setting = event.temperature;
            }
            if (event.temperature == setting) joined.push_back(event);
        }
        events_ = std::move(joined);
    }

    static bool is_turn(const OvenEvent& event) { return event.kind != Kind::hot; }

    bool is_start(Instant at) const {
        return std::ranges::any_of(loads_, [&](const Baked& load) { return load.span.from == at; });
    }

    /// An oven in which something was baked was hot by then, whatever had been announced.
    bool leads_to_load(const WhileEmpty& empty) const {
        const auto load =
            std::ranges::find_if(loads_, [&](const Baked& each) { return each.span.from == empty.span.to; });
        const auto& setting = load->stages.front().setting;
        return empty.heat.setting() == setting &&
               (!setting || empty.heat.until_hot(empty.span.to, *setting) == Minutes{0});
    }

    void put(const WhileEmpty& empty) {
        std::erase_if(events_, [&](const OvenEvent& event) {
            return empty.span.from <= event.at &&
                   (event.at < empty.span.to || (!is_turn(event) && event.at == empty.span.to));
        });
        const auto place =
            std::ranges::find_if(events_, [&](const OvenEvent& event) { return event.at >= empty.span.to; });
        events_.insert(place, empty.events.begin(), empty.events.end());
    }

    /// To what is planned to come. Only the first turn finds the oven otherwise than the plan has it.
    void go_on_from(const WhileEmpty& empty) {
        const auto planned = planned_setting();
        const auto later =
            std::ranges::find_if(events_, [&](const OvenEvent& event) { return event.at >= situation_.now; });
        const std::vector<OvenEvent> to_come(later, events_.end());
        events_.erase(later, events_.end());
        put(empty);
        OvenHeat heat = empty.heat;
        const auto next = std::ranges::find_if(to_come, is_turn);
        const bool now = next != to_come.end() && next->at == situation_.now;
        const bool stays_on = !planned && heat.setting() && next != to_come.end() && next->at > situation_.now &&
                              next->at - situation_.now <= heat.until_cold(situation_.now);
        if (stays_on && *next->temperature < heat.heat(situation_.now))
            turn(heat, situation_.now, next->temperature);
        else if (!now && !stays_on)
            turn(heat, situation_.now, planned);
        if (next == to_come.end()) return;
        turn(heat, next->at, next->temperature);
        const auto second = std::find_if(std::next(next), to_come.end(), is_turn);
        events_.insert(events_.end(), second, to_come.end());
    }

    std::optional<MilliCelsius> planned_setting() const {
        std::optional<MilliCelsius> setting;
        for (const OvenEvent& event : events_)
            if (is_turn(event) && event.at < situation_.now) setting = event.temperature;
        return setting;
    }

    void turn(OvenHeat& heat, Instant at, std::optional<MilliCelsius> setting) {
        if (heat.setting() == setting) return;
        std::erase_if(events_, [&](const OvenEvent& event) { return !is_turn(event) && event.at > at; });
        const Kind kind = !setting ? Kind::off : heat.setting() ? Kind::set : Kind::on;
        events_.push_back({kind, oven_, at, setting});
        if (setting) events_.push_back({Kind::hot, oven_, at + heat.until_hot(at, *setting), setting});
        heat.turns(at, setting);
    }

    const Situation& situation_;
    EquipmentIndex oven_;
    const std::vector<Baked>& loads_;
    Timetable& day_;
    std::vector<OvenEvent> events_;
};

}  // namespace

void tell_past(const Situation& situation, const Left& left, Timetable& day) {
    for (ResourceId id = 0; id < static_cast<ResourceId>(left.baked.size()); ++id)
        if (left.expansion.project.resources[id].has_state)
            Story(situation, *left.expansion.resources[id].equipment, left.baked[id], day).tell();
    std::ranges::stable_sort(day.oven, {}, [](const OvenEvent& event) { return std::tuple(event.at, event.oven); });
}

}  // namespace oventide::replan
