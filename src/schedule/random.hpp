#pragma once
/// Random numbers that are the same on every machine (the standard's distributions are not).

#include <cstdint>

namespace oventide::scheduling {

/// SplitMix64 (Steele, Lea, Flood 2014).
class Random {
public:
    explicit Random(std::uint64_t seed) : state_(seed) {}

    std::uint64_t next() {
        std::uint64_t z = (state_ += 0x9e3779b97f4a7c15ULL);
        z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
        z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
        return z ^ (z >> 31);
    }

    /// 0 to `bound` - 1, by multiplication (Lemire 2019); the bias is far below what a search could notice.
    std::uint32_t below(std::uint32_t bound) { return static_cast<std::uint32_t>(((next() >> 32) * bound) >> 32); }

    /// One in `n`.
    bool one_in(std::uint32_t n) { return below(n) == 0; }

private:
    std::uint64_t state_;
};

}  // namespace oventide::scheduling
