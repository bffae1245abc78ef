#pragma once
/// What is too short for its name, and stands close to others, has it on a flag below: a pole down from it, and the
/// name beside the pole's foot.

#include <string>
#include <vector>

namespace oventide::sheet {

class Flags {
public:
    /// The edges that no name crosses; a flag close to the right one flies to the left.
    explicit Flags(double right, double left = 0) : left_(left), right_(right) {}

    /// A pole at `x`. The short name is used where there are too many for the long one.
    void add(double x, std::string name, std::string short_name);

    /// Adds the drawing, poles from `y` on, and says where it ends. No name lies on another, and no pole goes through a
    /// name unless a dozen steps crowd into minutes.
    double draw_at(double y, std::string& body);

private:
    struct Flag {
        double x;
        std::string name;
        std::string short_name;
        bool cut = false;  ///< its name is the short one
        bool to_the_left = false;
        std::size_t row = 0;
        double left = 0;  ///< of the name
        double width = 0;

        double from() const;
        double to() const;
        const std::string& said() const { return cut ? short_name : name; }
    };
    /// Flags in the order in which they are placed, each in the highest row that has room beside those before it.
    std::vector<Flag> placed(std::vector<Flag> flags) const;
    void hoist(Flag& flag, bool cut) const;
    static bool fits(const Flag& flag, const std::vector<Flag>& others, bool poles_too);

    /// Flags close to each other. Each is placed from one side, or the outermost first: then the left half flies left.
    struct Crowd {
        enum class Way { from_right, from_left, outside_in };
        std::size_t begin, end;
        Way way = Way::from_right;
    };
    struct Placing {
        std::vector<Flag> flags;
        std::size_t cut = 0, rows = 0;
    };
    std::vector<Crowd> crowds() const;
    void line_up(const Crowd& crowd, std::vector<Flag>& line) const;
    Placing place(const std::vector<Crowd>& crowds, bool rightmost_first) const;
    /// Of the ways that were tried: the fewest short names, then the fewest rows.
    Placing best_placing() const;

    double left_;
    double right_;
    std::vector<Flag> flags_;
};

}  // namespace oventide::sheet
