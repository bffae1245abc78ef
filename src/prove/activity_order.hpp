#pragma once
/// Variables by how much they had to do with recent conflicts (VSIDS: Moskewicz et al. 2001), counted in whole
/// numbers so that every machine decides alike; ties go to the lower variable.

#include <cstdint>
#include <vector>

#include "prove/literal.hpp"

namespace oventide::prove {

class ActivityOrder {
public:
    void add(Variable x);  ///< the next variable
    void bump(Variable x);
    void decay() { step_ += step_ / 20; }

    bool empty() const { return heap_.empty(); }
    Variable pop();
    /// Puts a variable back that was popped; no effect where it is there already.
    void put_back(Variable x);

private:
    bool before(Variable a, Variable b) const {
        return activity_[a] != activity_[b] ? activity_[a] > activity_[b] : a < b;
    }
    void sift_up(std::int32_t place);
    void sift_down(std::int32_t place);
    void put(std::int32_t place, Variable x) {
        heap_[place] = x;
        place_[x] = place;
    }

    std::vector<std::uint64_t> activity_;
    std::vector<Variable> heap_;
    std::vector<std::int32_t> place_;  ///< by variable, -1: not in the heap
    std::uint64_t step_ = 1 << 20;
};

}  // namespace oventide::prove
