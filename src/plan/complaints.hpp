#pragma once
/// Gathers what is wrong with a plan, so that the cook sees all of it at once.

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "oventide/diagnostic.hpp"

namespace oventide::plan_file {

/// The text between single quotes, its end left out where it is long.
std::string in_quotes(std::string_view text);

/// "did you mean 'mixer'?"; nothing for an empty guess.
std::string did_you_mean(const std::string& guess);

class Complaints {
public:
    /// So many are told; of more, only that there are more.
    static constexpr std::size_t kMost = 1'000;
    /// So many notes stand with one of them; of a longer chain its beginning and its end.
    static constexpr std::size_t kMostNotes = 24;

    void error(const Place& place, std::string message, std::string suggestion = {}, std::vector<Note> notes = {});
    void caution(const Place& place, std::string message, std::string suggestion = {});

    std::size_t errors() const { return errors_; }

    /// The name most likely meant by `name`; empty if none is near. The work for this is bounded, so that a file of
    /// nothing but mistakes is still read in no time.
    std::string guess(std::string_view name, const std::vector<std::string>& known);
    /// The same as a question.
    std::string did_you_mean(std::string_view name, const std::vector<std::string>& known);

    /// All of them, in the order of the files.
    std::vector<Diagnostic> in_order() &&;

private:
    void add(Diagnostic diagnostic);

    std::vector<Diagnostic> diagnostics_;
    std::size_t errors_ = 0;
    std::size_t left_out_ = 0;
    std::size_t guessing_left_ = 100'000'000;  ///< letters compared, roughly
};

}  // namespace oventide::plan_file
