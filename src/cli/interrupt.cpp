#include "cli/interrupt.hpp"

namespace oventide::cli {
namespace {

std::atomic<bool> interrupted = false;
static_assert(std::atomic<bool>::is_always_lock_free, "a signal handler may touch nothing else");

void note_interrupt(int) { interrupted = true; }

}  // namespace

Interrupt::Interrupt() {
    interrupted = false;
    struct sigaction action {};
    action.sa_handler = note_interrupt;
    action.sa_flags = SA_RESTART | SA_RESETHAND;
    ::sigaction(SIGINT, nullptr, &before_);
    // A shell that started us in the background has SIGINT ignored, and so it stays.
    if (before_.sa_handler != SIG_IGN) ::sigaction(SIGINT, &action, nullptr);
}

Interrupt::~Interrupt() { ::sigaction(SIGINT, &before_, nullptr); }

const std::atomic<bool>& Interrupt::requested() const { return interrupted; }

}  // namespace oventide::cli
