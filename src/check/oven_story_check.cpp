/// (4) What the timetable tells of an oven: on, set, off, hot. It is replayed event by event; at every load it must
/// be hot, at every change of a programme it must be set, and nothing may be hot sooner than the rates allow.

#include <algorithm>

#include "check/oven_loads.hpp"

namespace oventide::referee {
namespace {

using Kind = OvenEvent::Kind;

struct State {
    bool on = false;
    MilliCelsius temperature = 0;  ///< set; of an oven that is off: what it has been falling from
    Minute since = 0;              ///< set or off since
    Minute hot_at = 0;             ///< where it is on: when it is as hot as it is set to be
    bool dried = false;            ///< where it is off: by a load's programme
};

class Replay {
public:
    Replay(Sheet& sheet, EquipmentIndex oven, const std::vector<Load>& loads)
        : sheet_(sheet), oven_(sheet.plan.kitchen.equipment[oven]), loads_(loads) {
        for (const OvenEvent& event : sheet.timetable.oven)
            if (event.oven == oven) events_.push_back(event);
        state_.temperature = sheet.plan.kitchen.room;
    }

    void run() {
        if (!std::is_sorted(events_.begin(), events_.end(),
                            [](const OvenEvent& a, const OvenEvent& b) { return a.at < b.at; }))
            return complain(events_.front(), "its story is not told in order");
        struct Turn {
            Minute at;
            const Load* load;
            const LoadSetting* setting;
        };
        std::vector<Turn> turns;
        for (const Load& load : loads_)
            for (const LoadSetting& setting : load.settings)
                if (setting.from < setting.to) turns.push_back({setting.from, &load, &setting});
        std::stable_sort(turns.begin(), turns.end(), [](const Turn& a, const Turn& b) { return a.at < b.at; });
        std::size_t next = 0;
        for (const Turn& turn : turns) {
            for (; next < events_.size() && minute(events_[next].at) <= turn.at; ++next) apply(events_[next]);
            check_turn(*turn.load, *turn.setting);
        }
        for (; next < events_.size(); ++next) apply(events_[next]);
    }

private:
    void complain(const OvenEvent& event, const std::string& what) {
        sheet_.report(Rule::oven, clock_text(minute(event.at)) + ": " + oven_.name + ": " + what, oven_.place);
    }

    MilliCelsius now(Minute at) const {
        if (state_.on) return state_.temperature;
        return fallen(oven_, state_.temperature, at - state_.since, sheet_.plan.kitchen.room);
    }

    /// In the middle of a load's setting nobody touches the oven.
    bool inside_a_setting(Minute at) const {
        for (const Load& load : loads_)
            for (const LoadSetting& setting : load.settings)
                if (setting.from < at && at < setting.to) return true;
        return false;
    }

    void apply(const OvenEvent& event) {
        const Minute at = minute(event.at);
        if ((event.kind == Kind::off) == event.temperature.has_value())
            return complain(event, "off has no temperature, and everything else has one");
        if (event.kind == Kind::hot) {
            if (!state_.on || *event.temperature != state_.temperature || at < state_.hot_at)
                complain(event, "said to be hot, and cannot be");
            return;
        }
        if (inside_a_setting(at)) complain(event, "switched in the middle of a load's setting");
        if (state_.on == (event.kind == Kind::on)) complain(event, "switched as if it were not what it is");
        if (event.kind == Kind::on && !oven_.timer && !state_.dried && !somebody_there(sheet_, at))
            complain(event, "switched on with nobody there");
        if (event.kind == Kind::off) {
            state_ = {false, now(at), at, at, ends_a_setting(at)};
            return;
        }
        state_ = {true, *event.temperature, at, at + change(oven_, now(at), *event.temperature), false};
    }

    /// Off begins here as part of a load's programme.
    bool ends_a_setting(Minute at) const {
        for (const Load& load : loads_)
            for (const LoadSetting& setting : load.settings)
                if (setting.off && setting.from == at) return true;
        return false;
    }

    void check_turn(const Load& load, const LoadSetting& setting) {
        const bool goes_in = setting.from == load.start;
        const bool right = setting.off ? !state_.on : state_.on && state_.temperature == setting.temperature;
        if (right && (setting.off || !goes_in || state_.hot_at <= setting.from)) return;
        sheet_.report(Rule::oven,
                      clock_text(setting.from) + ": " + oven_.name + " should be at " + name(setting) + " for " +
                          sheet_.row(load.row).id + ", and the timetable does not say so",
                      oven_.place);
    }

    Sheet& sheet_;
    const Equipment& oven_;
    const std::vector<Load>& loads_;
    std::vector<OvenEvent> events_;
    State state_;
};

}  // namespace

void check_oven_story(Sheet& sheet, EquipmentIndex oven, const std::vector<Load>& loads) {
    Replay(sheet, oven, loads).run();
}

}  // namespace oventide::referee
