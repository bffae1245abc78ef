#include "prove/activity_order.hpp"

namespace oventide::prove {

namespace {
constexpr std::uint64_t kTooActive = std::uint64_t{1} << 60;
}

void ActivityOrder::add(Variable x) {
    activity_.push_back(0);
    place_.push_back(-1);
    put_back(x);
}

void ActivityOrder::bump(Variable x) {
    if ((activity_[x] += step_) >= kTooActive) {
        for (auto& each : activity_) each >>= 39;
        step_ >>= 39;
    }
    if (place_[x] >= 0) sift_up(place_[x]);
}

Variable ActivityOrder::pop() {
    const Variable top = heap_.front();
    const Variable last = heap_.back();
    heap_.pop_back();
    place_[top] = -1;
    if (!heap_.empty()) {
        put(0, last);
        sift_down(0);
    }
    return top;
}

void ActivityOrder::put_back(Variable x) {
    if (place_[x] >= 0) return;
    heap_.push_back(x);
    place_[x] = static_cast<std::int32_t>(heap_.size()) - 1;
    sift_up(place_[x]);
}

void ActivityOrder::sift_up(std::int32_t place) {
    const Variable x = heap_[place];
    while (place > 0 && before(x, heap_[(place - 1) / 2])) {
        put(place, heap_[(place - 1) / 2]);
        place = (place - 1) / 2;
    }
    put(place, x);
}

void ActivityOrder::sift_down(std::int32_t place) {
    const Variable x = heap_[place];
    const auto size = static_cast<std::int32_t>(heap_.size());
    for (;;) {
        std::int32_t child = 2 * place + 1;
        if (child >= size) break;
        if (child + 1 < size && before(heap_[child + 1], heap_[child])) ++child;
        if (!before(heap_[child], x)) break;
        put(place, heap_[child]);
        place = child;
    }
    put(place, x);
}

}  // namespace oventide::prove
