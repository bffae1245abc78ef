#pragma once
/// The timetable rule of a resource whose capacity changes over time: parts that an activity covers whenever it
/// starts within its window ('compulsory parts': Lahrichi 1982) are added up, and what does not fit beside them is
/// pushed away. Explained minute by minute (Schutt, Feydy, Stuckey and Wallace, Explaining the cumulative
/// propagator, 2011).

#include <cstdint>
#include <optional>
#include <vector>

#include "oventide/project.hpp"
#include "prove/engine.hpp"

namespace oventide::prove {

/// `amount` units over [from, to), if `present` (or always). Where to <= from it takes nothing.
struct Use {
    Term from;
    Term to;
    std::int32_t amount = 1;
    std::optional<Literal> present;
};

class Cumulative : public Propagator {
public:
    /// `capacity` as in Resource::capacity; before time 0 there is none.
    Cumulative(std::vector<Use> uses, std::vector<CapacityStep> capacity);

    /// The sides on which the rule depends.
    std::vector<Side> sides() const;

    bool propagate(Engine& engine) override;
    void explain(const Trail& trail, Literal literal, const Reason& reason, std::int32_t length,
                 std::vector<Literal>& out) const override;

private:
    /// A stretch of time in which the sum of compulsory parts and the capacity stay the same.
    struct Segment {
        Time from;
        Time to;
        std::int64_t load;
        std::int32_t capacity;
    };
    enum class Push : std::int32_t { from, to };

    /// What the last run saw of a use. Runs compare, so that they need not be told of backtracking.
    struct Seen {
        Interval window{0, 0};      ///< from the earliest beginning to the latest end
        Interval compulsory{0, 0};  ///< empty: none
        bool present = false;
        friend bool operator==(const Seen&, const Seen&) = default;
    };

    std::int32_t capacity_at(Time at) const;
    Seen look(const Trail& trail, const Use& use) const;
    /// Looks at all uses; true: the profile is not what it was.
    bool look_again(const Trail& trail);
    bool present(const Trail& trail, const Use& use) const { return !use.present || trail.holds(*use.present); }
    bool absent(const Trail& trail, const Use& use) const { return use.present && trail.fails(*use.present); }
    void build_profile();
    bool check_profile(Engine& engine);
    bool push(Engine& engine, std::int32_t which);
    bool push_from(Engine& engine, std::int32_t which);
    bool push_to(Engine& engine, std::int32_t which);
    bool exclude(Engine& engine, std::int32_t which);
    bool blocked(const Segment& segment, const Use& use, const Interval& own) const;
    std::size_t first_tight_after(Time at) const;  ///< index into tight_
    void cover(const Trail& trail, Time at, std::int32_t length, std::int32_t without, std::int64_t excess,
               std::vector<Literal>& out) const;

    std::vector<Use> uses_;
    std::vector<CapacityStep> capacity_;
    std::vector<Segment> profile_;
    struct Event {
        Time at;
        std::int32_t change;
    };
    std::vector<Event> events_;
    std::vector<Seen> seen_;           ///< by use
    std::vector<char> changed_;        ///< by use: not settled since it was seen
    std::vector<std::int32_t> tight_;  ///< segments in which the largest use would not fit
    std::int32_t largest_ = 0;
};

}  // namespace oventide::prove
