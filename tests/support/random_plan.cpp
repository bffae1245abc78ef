#include "support/random_plan.hpp"

#include <fmt/format.h>

#include <vector>

namespace oventide::support {
namespace {

/// SplitMix64 (Steele, Lea and Flood 2014): the standard library's distributions differ from one to another.
class Random {
public:
    /// Far apart: neighbouring seeds would give the same numbers one step later.
    explicit Random(std::uint64_t seed) : state_(seed) { state_ = next() ^ (seed << 32); }
    /// One of from, ..., to.
    int between(int from, int to) {
        return from + static_cast<int>(next() % static_cast<std::uint64_t>(to - from + 1));
    }
    bool chance(int percent) { return between(1, 100) <= percent; }
    const char* one_of(const std::vector<const char*>& words) {
        return words[static_cast<std::size_t>(between(0, static_cast<int>(words.size()) - 1))];
    }

private:
    std::uint64_t next() {
        std::uint64_t z = (state_ += 0x9e3779b97f4a7c15ULL);
        z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
        z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
        return z ^ (z >> 31);
    }
    std::uint64_t state_;
};

/// One plan being written. Each function writes one thing of it.
class Author {
public:
    Author(std::uint64_t seed, const RandomPlanOptions& options) : random_(seed), options_(options) {}

    std::string write() {
        if (options_.small_night) return write_small_night();
        const int goods = random_.between(1, options_.goods);
        top();
        kitchen();
        for (int good = 0; good < goods; ++good) write_good(good);
        orders();
        return std::move(text_);
    }

private:
    template <class... Args>
    void say(fmt::format_string<Args...> format, Args&&... args) {
        text_ += fmt::format(format, std::forward<Args>(args)...);
    }

    std::string minutes(int from, int to) { return fmt::format("\"{} min\"", random_.between(from, to)); }

    /// A key that is written now and then.
    std::string maybe(int percent, const std::string& key_and_value) {
        return random_.chance(percent) ? ", " + key_and_value : "";
    }

    void top() {
        say("title = \"Seed\"\n");
        say("timezone = \"{}\"\n", random_.one_of({"Europe/London", "UTC", "Asia/Kathmandu"}));
        if (random_.chance(20)) say("times = \"long\"\n");
        if (random_.chance(20)) say("safety = \"none\"\n");
        if (random_.chance(30)) say("aim = [\"{}\"]\n", random_.one_of({"alarm", "waiting", "freshness"}));
    }

    // ------------------------------------------------------------------------------------- small night

    std::string small_hands() {
        return random_.chance(50) ? "hands = true"
                                  : fmt::format("hands = {{ first = \"{} min\", last = \"{} min\" }}",
                                                random_.between(1, 3), random_.between(1, 3));
    }

    /// One tray of the oven, dough overnight, at one of few temperatures; a door, a programme, a hold now and then.
    void small_bake(const std::string& name) {
        begin_component(name, "12 pieces");
        if (random_.chance(60)) say("best_within = \"{} min\"\n", 10 * random_.between(3, 18));
        say("steps = [\n  {{ name = \"mix\", takes = {}, hands = true, uses = \"mixer\"{} }},\n", minutes(5, 20),
            maybe(40, "wash = \"4 min\""));
        say("  {{ name = \"proof\", takes = \"{} h\", keeps = \"{} h\", uses = \"fridge\" }},\n", random_.between(1, 5),
            random_.between(2, 9));
        if (random_.chance(40))
            say("  {{ name = \"shape\", takes = {}, hands = true, uses = {{ bench = {{ amount = 1, until = \"bake\" }} "
                "}} }},\n",
                minutes(5, 15));
        const std::string baked = random_.chance(40)
                                      ? fmt::format("[\"{} C\", \"{}\"]", random_.one_of({"180", "200"}),
                                                    random_.one_of({"off 6 min", "170 C 8 min", "190 C 5 min"}))
                                      : fmt::format("\"{} C\"", random_.one_of({"180", "200", "230"}));
        say("  {{ name = \"bake\", takes = {}, oven = {}, tray = 6{}, {} }},\n", minutes(15, 30), baked,
            maybe(40, fmt::format("door_shut = {}", minutes(5, 12))), small_hands());
        if (random_.chance(50))
            say("  {{ name = \"cool\", takes = {}{} }},\n", minutes(5, 20), maybe(40, "at_once = true"));
        say("]\n");
    }

    void small_cream(const std::string& name) {
        begin_component(name, "600 g");
        say("steps = [\n  {{ name = \"boil\", takes = {}, hands = true, uses = {{ hob = {{ amount = 1, until = "
            "\"chill\" }} }}, cooked = true }},\n",
            minutes(8, 15));
        say("  {{ name = \"chill\", takes = {}, keeps = \"4 h\", uses = \"fridge\", chill = true }},\n]\n",
            minutes(30, 60));
    }

    std::string write_small_night() {
        say("title = \"Seed\"\ntimezone = \"Europe/London\"\nfrom = 2026-05-08T20:00:00\n");
        if (random_.chance(30)) say("aim = [\"alarm\", \"freshness\", \"waiting\"]\n");
        say("\n[kitchen]\n[[kitchen.crew]]\nname = \"Ivo\"\nhours = \"{}\"\n",
            random_.one_of({"05:00-12:00, 20:00-22:00", "04:00-09:30, 20:00-21:00", "03:00-12:00, 20:30-23:00"}));
        if (random_.chance(40))
            say("[[kitchen.crew]]\nname = \"Runa\"\nhours = \"{}\"\n", random_.one_of({"06:00-10:00", "22:00-06:00"}));
        say("[[kitchen.oven]]\ntrays = {}\nheats = \"{} C/min\"\ncools = \"{} C/min\"\ntimer = {}\n",
            random_.between(1, 3), random_.between(5, 12), random_.between(2, 6), random_.chance(40));
        say("[[kitchen.mixer]]\n[[kitchen.hob]]\nrings = 1\n[[kitchen.fridge]]\nshelves = {}\n", random_.between(2, 3));
        say("[[kitchen.equipment]]\nname = \"bench\"\n");
        const int goods = 3;
        for (int good = 0; good < goods; ++good) {
            goods_.push_back(fmt::format("bun {}", good));
            small_bake(goods_.back());
        }
        if (random_.chance(50)) {
            small_cream("cream");
            begin_component("filled", "12 pieces");
            say("keeps = \"3 h\"\nsteps = [\n  {{ name = \"fill\", takes = {}, hands = true, with = {{ \"bun 0\" = 1, "
                "cream = \"30 g\" }} }},\n]\n",
                minutes(5, 15));
            goods_[0] = "filled";
        }
        const int orders = random_.between(1, 2);
        for (int order = 0; order < orders; ++order) {
            say("\n[[order]]\nname = \"order {}\"\npickup = 2026-05-09T{:02}:{:02}:00\nitems = {{ ", order,
                random_.between(9, 11), 15 * random_.between(0, 3));
            for (int good = order; good < goods; good += orders)
                say("{}\"{}\" = {}", good == order ? "" : ", ", goods_[static_cast<std::size_t>(good)],
                    random_.between(3, 12));
            say(" }}\n");
        }
        return std::move(text_);
    }

    // ---------------------------------------------------------------------------------------- kitchen

    std::string closed() {
        if (!random_.chance(15)) return "";
        const int hour = random_.between(6, 14);
        return fmt::format("closed = [\"daily {:02}:00-{:02}:{:02}\"]\n", hour, hour + random_.between(0, 1),
                           random_.between(10, 50));
    }

    void kitchen() {
        say("\n[kitchen]\nroom = \"{} C\"\n", random_.between(17, 25));
        const int people = random_.between(1, options_.tight ? 2 : 3);
        const char* names[] = {"Ivo", "Runa", "Tesk"};
        for (int person = 0; person < people; ++person)
            say("[[kitchen.crew]]\nname = \"{}\"\nhours = \"{}\"\n", names[person],
                options_.tight ? random_.one_of({"06:00-12:00", "05:00-09:00, 09:45-14:00", "07:30-18:00"})
                               : random_.one_of({"05:00-20:00", "04:30-11:00, 12:00-19:30", "07:00-16:00",
                                                 "22:00-06:00, 08:00-14:00", "00:00-24:00"}));
        people_ = people;
        ovens_ = random_.between(1, 2);
        for (int oven = 0; oven < ovens_; ++oven) {
            say("[[kitchen.oven]]\nname = \"oven {}\"\ntrays = {}\nheats = \"{} C/min\"\ncools = \"{} C/min\"\n", oven,
                random_.between(2, 4), random_.between(4, 15), random_.between(2, 8));
            if (random_.chance(40)) say("timer = true\n");
            text_ += closed();
        }
        say("[[kitchen.mixer]]\nbowl = \"{} kg\"\n", random_.between(1, 4));
        if (random_.chance(30)) say("count = 2\n");
        text_ += closed();
        say("[[kitchen.hob]]\nrings = {}\n", random_.between(1, 3));
        say("[[kitchen.fridge]]\nshelves = {}\n", random_.between(options_.tight ? 2 : 4, 8));
        say("[[kitchen.equipment]]\nname = \"rack\"\ncount = {}\n", random_.between(options_.tight ? 2 : 5, 9));
        say("[[kitchen.equipment]]\nname = \"bench\"\ncount = {}\n", random_.between(1, 2));
        text_ += closed();
    }

    // -------------------------------------------------------------------------------------- components

    void begin_component(const std::string& name, const std::string& makes) {
        say("\n[[component]]\nname = \"{}\"\nmakes = \"{}\"\n", name, makes);
    }

    std::string hands() {
        switch (random_.between(0, 4)) {
            case 0:
                return ", hands = true";
            case 1:
                return fmt::format(", hands = {{ first = \"{} min\", last = \"{} min\" }}", random_.between(1, 4),
                                   random_.between(1, 4));
            case 2:
                return fmt::format(", hands = {{ first = \"{} min\", then = \"{} min\" }}", random_.between(1, 4),
                                   random_.between(1, 4));
            case 3:
                return fmt::format(", hands = {{ last = \"{} min\", people = {} }}", random_.between(1, 4),
                                   random_.between(1, people_));
            default:
                return ", hands = true, who = \"Ivo\"";
        }
    }

    std::string programme() {
        const int hot = 10 * random_.between(16, 22);
        switch (random_.between(0, 4)) {
            case 0:
                return fmt::format("[\"{} C {} min\", \"{} C\"]", hot + 20, random_.between(3, 8), hot);
            case 1:
                return fmt::format("[\"{} C\", \"off {} min\"]", hot, random_.between(3, 8));
            default:
                return fmt::format("\"{} C\"", random_.one_of({"180", "200", "220"}));
        }
    }

    std::string bake() {
        return fmt::format("takes = {}, oven = {}, tray = {}{}{}", minutes(15, 40), programme(), random_.between(4, 8),
                           maybe(30, fmt::format("door_shut = {}", minutes(4, 14))),
                           ovens_ > 1 ? maybe(30, "in = \"oven 1\"") : "");
    }

    void write_good(int good) {
        if (random_.chance(25)) return write_cake(good);
        goods_.push_back(fmt::format("{} {}", random_.one_of({"loaf", "bun", "wheel"}), good));
        if (random_.chance(45))
            write_filled(goods_.back(), good);
        else
            write_baked(goods_.back());
    }

    void dough_steps() {
        say("  {{ name = \"mix\", takes = {}{}, hands = true, uses = \"mixer\"{} }},\n", minutes(6, 15),
            maybe(40, "each = \"10 s\""), maybe(60, "wash = \"4 min\""));
        say("  {{ name = \"proof\", takes = [\"40 min\", \"{} min\", \"100 min\"], keeps = \"{} h\", uses = {{ fridge "
            "= {} }} }},\n",
            random_.between(40, 90), random_.between(6, 20), random_.between(1, 2));
        if (random_.chance(60))
            say("  {{ name = \"shape\", takes = {}, each = \"{} s\"{}, uses = {{ bench = {{ amount = 1{} }} }} }},\n",
                minutes(3, 8), random_.between(5, 40), hands(),
                random_.chance(40) ? ", until = \"bake\"" : maybe(40, "then = \"3 min\""));
    }

    void write_baked(const std::string& name) {
        const int makes = random_.between(6, 20);
        begin_component(name, fmt::format("{} pieces", makes));
        if (makes % 3 == 1) say("even = true\n");
        if (random_.chance(50)) say("bowl_weight = \"{} g\"\n", random_.between(4, 9) * 100);
        if (random_.chance(40)) say("keeps = \"{} h\"\n", random_.between(6, 24));
        if (random_.chance(60)) say("best_within = \"{} h\"\n", random_.between(1, 6));
        say("steps = [\n");
        dough_steps();
        say("  {{ name = \"bake\", {}{}{} }},\n", bake(), hands(),
            maybe(30, fmt::format("within = {}", minutes(90, 240))));
        const char* uses = random_.chance(70) ? ", uses = \"rack\"" : "";
        say("  {{ name = \"cool\", takes = {}{}{}{} }},\n", minutes(10, 30), uses, maybe(30, "at_once = true"),
            maybe(60, "keeps = \"12 h\""));
        if (random_.chance(40)) say("  {{ name = \"pack\", takes = {}, each = \"9 s\"{} }},\n", minutes(2, 5), hands());
        say("]\n");
    }

    /// A case, a cream and what is made of both.
    void write_filled(const std::string& name, int good) {
        const std::string shell = fmt::format("shell {}", good);
        const std::string cream = fmt::format("cream {}", good);
        begin_component(shell, fmt::format("{} pieces", random_.between(8, 24)));
        if (random_.chance(30)) say("keeps = \"{} h\"\n", random_.between(8, 16));
        say("steps = [\n");
        dough_steps();
        say("  {{ name = \"bake\", {}{} }},\n", bake(), hands());
        say("  {{ name = \"cool\", takes = {}, keeps = \"8 h\", uses = \"rack\"{} }},\n", minutes(5, 20),
            maybe(30, "by = \"load\""));
        say("]\n");

        begin_component(cream, fmt::format("{} g", random_.between(4, 12) * 100));
        say("steps = [\n");
        say("  {{ name = \"boil\", takes = {}{}{}, uses = {{ hob = {{ amount = 1{} }} }}, cooked = true }},\n",
            minutes(8, 20), maybe(50, "each = \"90 s\""), hands(), maybe(40, "until = \"chill\""));
        say("  {{ name = \"chill\", takes = {}{}, keeps = \"{} h\", uses = \"fridge\", chill = true }},\n",
            minutes(30, 90), maybe(40, fmt::format("rest = {}", minutes(2, 10))), random_.between(4, 20));
        say("]\n");

        begin_component(name, fmt::format("{} pieces", random_.between(6, 16)));
        if (random_.chance(60)) say("keeps = \"{} h\"\n", random_.between(5, 12));
        if (random_.chance(60)) say("best_within = \"{} h\"\n", random_.between(1, 4));
        say("steps = [\n");
        say("  {{ name = \"fill\", takes = {}, each = \"{} s\"{}, with = {{ \"{}\" = 1, \"{}\" = \"{} g\" }}{} }},\n",
            minutes(4, 10), random_.between(5, 30), hands(), shell, cream, random_.between(15, 40),
            maybe(20, fmt::format("after = {{ step = \"{}.chill\", rest = \"3 min\" }}", cream)));
        if (random_.chance(60))
            say("  {{ name = \"set\", takes = {}, keeps = \"10 h\", uses = \"fridge\" }},\n", minutes(10, 40));
        say("]\n");
    }

    /// A batter by mass, drawn load by load; a syrup that goes into the batter; a glaze that waits for nobody.
    void write_cake(int good) {
        const std::string syrup = fmt::format("syrup {}", good);
        const std::string batter = fmt::format("batter {}", good);
        const std::string glaze = fmt::format("glaze {}", good);
        goods_.push_back(fmt::format("cake {}", good));
        begin_component(syrup, fmt::format("{} g", random_.between(2, 5) * 100));
        say("steps = [\n  {{ name = \"boil\", takes = {}, each = \"3 min\", uses = \"hob\", hands = {{ first = \"2 "
            "min\" }} }},\n",
            minutes(5, 12));
        say("  {{ name = \"cool\", takes = {}, at_once = true{} }},\n]\n", minutes(10, 30),
            maybe(50, "keeps = \"20 h\""));
        if (random_.chance(30)) mass_goods_.push_back(syrup);

        begin_component(batter, fmt::format("{} g", random_.between(5, 15) * 100));
        if (random_.chance(40)) say("keeps = \"5 h\"\n");
        say("steps = [\n  {{ name = \"beat\", takes = {}, each = \"130 s\"{}, uses = {{ mixer = {{ amount = 1, from = "
            "\"1 min\", for = \"4 min\" }} }}, with = {{ \"{}\" = \"{} g\" }} }},\n",
            minutes(6, 12), hands(), syrup, random_.between(50, 150));
        if (random_.chance(50)) say("  {{ name = \"stand\", takes = {}, keeps = \"3 h\" }},\n", minutes(5, 30));
        say("]\n");

        const bool glazed = random_.chance(50);
        if (glazed) {
            begin_component(glaze, "300 g");
            say("steps = [\n  {{ name = \"warm\", takes = \"6 min\"{}, uses = \"hob\", after = {{ step = \"{}.cool\"{} "
                "}} }},\n]\n",
                hands(), syrup, maybe(50, "rest = \"5 min\""));
        }
        begin_component(goods_.back(), fmt::format("{} pieces", random_.between(4, 16)));
        if (random_.chance(40)) say("best_within = \"2 h\"\n");
        say("steps = [\n");
        say("  {{ name = \"pour\", takes = {}, each = \"7 s\"{}, with = {{ \"{}\" = \"{} g\" }}{}, uses = {{ equipment "
            "= "
            "{{ either = [\"bench\", \"rack\"] }} }} }},\n",
            minutes(2, 4), hands(), batter, random_.between(30, 90), maybe(50, "by = \"load\""));
        say("  {{ name = \"bake\", {}{}{} }},\n", bake(), hands(), maybe(50, "at_once = true"));
        if (random_.chance(30))
            say("  {{ name = \"dry\", takes = {}, oven = \"{} C\", tray = {}, rest = \"2 min\" }},\n", minutes(5, 12),
                random_.between(9, 12) * 10, random_.between(2, 9));
        say("  {{ name = \"cool\", takes = {}, keeps = \"10 h\", uses = {{ rack = {{ amount = 1, then = \"2 min\" }} "
            "}} }},\n",
            minutes(5, 30));
        if (glazed)
            say("  {{ name = \"glaze\", takes = {}, each = \"8 s\", hands = true, with = {{ \"{}\" = {{ each = \"8 "
                "g\", within = \"{} min\"{} }} }} }},\n",
                minutes(2, 5), glaze, random_.between(8, 40), maybe(30, "rest = \"1 min\""));
        say("]\n");
    }

    // ------------------------------------------------------------------------------------------ orders

    void orders() {
        const int count = random_.between(1, options_.orders);
        for (int order = 0; order < count; ++order) {
            say("\n[[order]]\nname = \"order {}\"\n", order);
            say("pickup = 2026-05-09T{:02}:{:02}:00\n", random_.between(11, 17), 15 * random_.between(0, 3));
            if (random_.chance(40)) say("margin = {}\n", minutes(0, 60));
            say("items = {{ ");
            bool first = true;
            for (std::size_t good = 0; good < goods_.size(); ++good) {
                if (!random_.chance(60) && !(first && good + 1 == goods_.size())) continue;
                say("{}\"{}\" = {}", first ? "" : ", ", goods_[good], random_.between(2, options_.pieces));
                first = false;
            }
            if (!mass_goods_.empty() && random_.chance(40))
                say(", \"{}\" = \"{} g\"", mass_goods_.front(), random_.between(100, 900));
            say(" }}\n");
        }
    }

    Random random_;
    RandomPlanOptions options_;
    std::string text_;
    std::vector<std::string> goods_;
    std::vector<std::string> mass_goods_;  ///< sold by mass, besides
    int people_ = 1;
    int ovens_ = 1;
};

}  // namespace

std::string random_plan(std::uint64_t seed, const RandomPlanOptions& options) { return Author(seed, options).write(); }

}  // namespace oventide::support
