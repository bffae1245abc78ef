#pragma once
/// When equipment is broken or somebody is away, by what was noted. What happened first comes first, whatever was
/// entered first; only of what contradicts itself what was said last counts.

#include <cstdint>
#include <vector>

#include "oventide/time.hpp"

namespace oventide::replan {

constexpr Instant kOpen = Instant::max();

/// A stretch that began, and its end where that is known.
struct Gap {
    Instant from;
    Instant to = kOpen;
    Instant news;            ///< of that time is what is known of its end
    Instant recorded;        ///< the note that says so
    std::int32_t entry = 0;  ///< likewise, its number
};

/// Of one piece of equipment or one person.
class Gaps {
public:
    void begins(Instant at, Instant until, Instant recorded, std::int32_t entry) {
        begun_.push_back({at, until, at, recorded, entry});
    }
    /// Who says so soon after the announced end means that it took so long, where `lasted`.
    void ends(Instant at, bool lasted) { ended_.push_back({at, lasted, begun_.size()}); }
    /// There in spite of what was said before.
    void there(Span span, Instant recorded, std::int32_t entry) { there_.push_back({span, recorded, entry}); }

    /// By when they begin; those that are over at once are left out.
    std::vector<Gap> find() const;
    /// Likewise, whoever is `there` in spite of it.
    std::vector<Gap> said_to_be() const;

private:
    struct End {
        Instant at;
        bool lasted;
        std::size_t after;  ///< how many had been said to begin
    };
    struct There {
        Span span;
        Instant recorded;
        std::int32_t entry;
    };

    static void say(Gap gap, std::vector<Gap>& gaps);
    static void end(const End& one, std::vector<Gap>& gaps);
    static void clip(const There& one, std::vector<Gap>& gaps);

    std::vector<Gap> begun_;
    std::vector<End> ended_;
    std::vector<There> there_;
};

}  // namespace oventide::replan
