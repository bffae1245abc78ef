#pragma once
/// What the program tells its caller when it ends. README.md lists them for the cook.

namespace oventide::cli {

enum class ExitCode {
    timetable = 0,       ///< there is a timetable (or what else was asked for)
    none = 1,            ///< there is none; the answer says why
    wrong = 2,           ///< the plan or the command line is wrong
    unwritten = 3,       ///< the answer could not be written
    internal_error = 4,  ///< the checker found a broken rule in a timetable: nothing of it is printed
};

}  // namespace oventide::cli
