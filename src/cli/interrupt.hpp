#pragma once
/// Ctrl-C while the search runs: it stops, and the best so far is the answer.

#include <signal.h>

#include <atomic>

namespace oventide::cli {

/// While one lives, the first Ctrl-C only sets `requested`; a second one ends the program as usual. One at a time.
class Interrupt {
public:
    Interrupt();
    ~Interrupt();
    Interrupt(const Interrupt&) = delete;
    Interrupt& operator=(const Interrupt&) = delete;

    const std::atomic<bool>& requested() const;

private:
    struct sigaction before_ {};
};

}  // namespace oventide::cli
