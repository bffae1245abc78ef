#include "oventide/sheet.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "sheet/look.hpp"
#include "sheet/oven_heat.hpp"
#include "sheet/paper.hpp"
#include "sheet/picture.hpp"
#include "support/svg.hpp"
#include "timetable/jobs.hpp"

using namespace oventide;

namespace {

Instant at(int hour, int minute) { return Instant{Minutes{60 * 24 * 20000 + 60 * hour + minute}}; }  // 2024-10-04

Plan small_plan(const std::string& name) {
    Plan plan;
    plan.title = name;
    plan.timezone = "Europe/London";
    plan.safety.rule = "90-minutes";
    plan.kitchen.crew = {{name, {{at(6, 0), at(15, 0)}}, {}}};
    Equipment oven;
    oven.name = name;
    oven.kind = EquipmentKind::oven;
    oven.heats = 8'000;
    oven.cools = 4'000;
    plan.kitchen.equipment = {oven};
    Component cake;
    cake.name = name;
    Step bake;
    bake.name = name;
    cake.steps = {bake};
    plan.components = {cake};
    plan.orders = {{name, at(15, 0), Minutes{15}, {}, {}}};
    return plan;
}

Timetable small_timetable() {
    Timetable timetable;
    Row row;
    row.id = "cake.1.bake.1";
    row.load = 1;
    row.amount = 24;
    row.start = at(9, 0);
    row.ready = row.end = at(9, 30);
    row.hands = {{0, {at(9, 0), at(9, 2)}, false}, {0, {at(9, 28), at(9, 30)}, true}};
    row.equipment = {{0, 1, {at(9, 0), at(9, 30)}}};
    timetable.rows = {row};
    timetable.oven = {{OvenEvent::Kind::on, 0, at(8, 40), 180'000},
                      {OvenEvent::Kind::hot, 0, at(9, 0), 180'000},
                      {OvenEvent::Kind::off, 0, at(9, 30), std::nullopt}};
    timetable.pickups = {{0, at(15, 0), at(9, 30), {}}};
    timetable.alarm = at(8, 40);
    add_jobs(small_plan("cake"), timetable);
    return timetable;
}

std::string sheet_of(const std::string& name) {
    return sheet::write(small_plan(name), *clock::Zone::find("Europe/London"), small_timetable(),
                        {{sheet::Mind{"Food: " + name, {}}},
                         {"clean and free: " + name},
                         {name + ": 24"},
                         {{name + ": Contains: EGGS"}}});
}

std::size_t count(const std::string& text, const std::string& part) {
    std::size_t found = 0;
    for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++found;
    return found;
}

/// Every tag that is opened is closed in order; void elements and self-closing ones aside.
void check_nesting(const std::string& html) {
    std::vector<std::string> open;
    for (std::size_t i = html.find("<html"); i != std::string::npos; i = html.find('<', i + 1)) {
        const std::size_t end = html.find('>', i);
        REQUIRE(end != std::string::npos);
        std::string tag = html.substr(i + 1, end - i - 1);
        const bool closing = tag.front() == '/';
        if (tag.back() == '/') continue;
        tag = tag.substr(closing ? 1 : 0, tag.find_first_of(" \n") - (closing ? 1 : 0));
        if (tag == "meta" || tag == "col" || tag == "wbr") continue;
        if (!closing) {
            open.push_back(tag);
            continue;
        }
        REQUIRE(!open.empty());
        CHECK(open.back() == tag);
        open.pop_back();
    }
    CHECK(open.empty());
}

}  // namespace

TEST_CASE("names of every kind come out right or escaped, and break nothing") {
    struct Case {
        std::string name, shown;
    };
    const Case cases[] = {{"Tea & cake", "Tea &amp; cake"},
                          {"<script>alert(1)</script>", "&lt;script&gt;alert(1)&lt;/script&gt;"},
                          {"\"quoted\" 'twice'", "&quot;quoted&quot; &#39;twice&#39;"},
                          {"two\nlines", "two lines"},
                          {"bell\x07", "bell\xEF\xBF\xBD"},
                          {"\xD7\xA2\xD7\x95\xD7\x92\xD7\x94", "\xD7\xA2\xD7\x95\xD7\x92\xD7\x94"},  // right to left
                          {"\xF0\x9F\xA5\xA7", "\xF0\x9F\xA5\xA7"},
                          {std::string(10'000, 'a'), std::string(10'000, 'a')}};
    for (const Case& row : cases) {
        const std::string html = sheet_of(row.name);
        CHECK(html.find("<bdi>" + row.shown + "</bdi>") != std::string::npos);
        CHECK(html.find("<bdi dir=\"ltr\">Food: " + row.shown + "</bdi>") != std::string::npos);
        CHECK(html.find("<script") == std::string::npos);
        check_nesting(html);
        for (const char c : html) CHECK_UNARY(c == '\n' || static_cast<unsigned char>(c) >= 0x20U);
    }
}

TEST_CASE("what the reports say is on the sheet, and what a note needs to know a step by") {
    const std::string html = sheet_of("cake");
    for (const char* said : {"<bdi dir=\"ltr\">Food: cake</bdi>", "<bdi dir=\"ltr\">clean and free: cake</bdi>",
                             "<bdi dir=\"ltr\">cake: 24</bdi>", "<bdi dir=\"ltr\">cake: Contains: EGGS</bdi>",
                             "<span class=\"id\"><bdi>cake.1.bake.1</bdi></span>"})
        CHECK_MESSAGE(html.find(said) != std::string::npos, said);
    CHECK(html.find("(no. ") == std::string::npos);
}

TEST_CASE("what an order contains stands under it, in one piece, before anything is planned") {
    const std::string html = sheet_of("cake");
    const std::size_t orders = html.find("<table class=\"pickups\">"), end = html.find("</table>", orders);
    const std::size_t said = html.find("<tr class=\"contains\">", orders);
    REQUIRE(said < end);
    CHECK(html.find("</tbody>", html.rfind("<tbody>", said)) > said);
    CHECK(html.find("<bdi dir=\"ltr\">cake: Contains: EGGS</bdi>") < end);
    CHECK(html.find("Look at the label of every pack.") != std::string::npos);
    const std::string silent = sheet::write(small_plan("cake"), *clock::Zone::find("UTC"), small_timetable(), {});
    CHECK(silent.find("<tr class=\"contains\">") == std::string::npos);
    CHECK(silent.find("Look at the label") == std::string::npos);
}

TEST_CASE("where nothing is weighed no page is begun for it") {
    CHECK(sheet_of("cake").find("class=\"after") == std::string::npos);
}

TEST_CASE("what to mind stands before the picture") {
    const std::string html = sheet_of("cake");
    CHECK(html.find("<bdi dir=\"ltr\">Food: cake</bdi>") < html.find("<svg"));
    CHECK(html.find("<bdi dir=\"ltr\">clean and free: cake</bdi>") < html.find("<svg"));
}

TEST_CASE("trays and heat are on the sheet") {
    Plan plan = small_plan("cake");
    Bake bake;
    bake.programme = {{MilliCelsius{171'111}, std::nullopt, true, {}}};
    plan.components[0].steps[0].bake = bake;
    Timetable timetable = small_timetable();
    timetable.rows[0].equipment[0].amount = 3;
    timetable.rows[0].heat = {{{at(9, 0), at(9, 20)}, MilliCelsius{171'111}}, {{at(9, 20), at(9, 30)}, std::nullopt}};
    timetable.rows[0].shut_until = at(9, 25);
    timetable.oven[2].at = at(9, 20);
    timetable.oven[2].leave_until = at(9, 30);
    const std::string html = sheet::write(plan, *clock::Zone::find("Europe/London"), timetable, {});
    CHECK(html.find("<span class=\"with\">\u00b7 <bdi>cake</bdi> x3</span>") != std::string::npos);
    CHECK(html.find("<span class=\"with\">\u00b7 3 trays</span>") != std::string::npos);  // 'into cake' says of what
    // In London at the end of summer, an hour later by the clock. Once in the timetable, once in the checklist.
    for (const char* said :
         {"<bdi>cake</bdi>: <bdi>cake</bdi> at 340\u00a0F, 20\u00a0min, then off, 10\u00a0min; door shut until 10:25",
          "into cake at 340\u00a0F, 20\u00a0min, then off, 10\u00a0min; door shut until 10:25",
          "switch off; leave it in, door shut, until 10:30"})
        CHECK_MESSAGE(html.find(said) != std::string::npos, said);
    CHECK(count(html, "switch off; leave it in, door shut, until 10:30") == 2);
}

TEST_CASE("every printed page says what it belongs to") {
    const std::string html = sheet_of("Tea & <b>cake</b> \"for\" {two}\\");
    const std::string boxes = html.substr(html.find("@page {"));
    CHECK(boxes.find("@page { size: A4; margin: 15mm 12mm 13mm;") == 0);
    CHECK(sheet::write(small_plan("cake"), *clock::Zone::find("UTC"), small_timetable(), {}, sheet::Paper::letter)
              .find("@page { size: letter; margin: 15mm 12mm 13mm;") != std::string::npos);
    CHECK(boxes.find("@top-right { content: \"Fri 4 Oct 2024\"; }") != std::string::npos);
    CHECK(boxes.find("content: \"page \" counter(page) \" of \" counter(pages);") != std::string::npos);
    sheet::Notes notes;
    notes.as_of = "As it stands 12:12: what has happened, and the rest.";
    CHECK(sheet::write(small_plan("cake"), *clock::Zone::find("UTC"), small_timetable(), notes)
              .find("@bottom-left { content: \"As it stands 12:12\";") != std::string::npos);
    // CSS Syntax Module Level 3, 4.3.7: a backslash, the code in hexadecimal digits, a space.
    CHECK(
        boxes.find(
            "@top-left { content: \"Tea \\26  \\3c b\\3e cake\\3c \\2f b\\3e  \\22 for\\22  \\7b two\\7d \\5c \"; }") !=
        std::string::npos);
    // A table that goes on says on the next page whose it is.
    CHECK(html.find("<tr class=\"title\"><th colspan=\"3\" scope=\"colgroup\"><span class=\"of\">Timetable, </span>Fri "
                    "4 Oct</th></tr>") != std::string::npos);
    CHECK(html.find("scope=\"colgroup\"><span class=\"of\"><bdi>Tea &amp;") != std::string::npos);
    CHECK(sheet_of(std::string(10'000, 'a')).find(std::string(60, 'a') + "\";") == std::string::npos);
}

TEST_CASE("of a day under way what is over is ticked") {
    const auto ticks = [](std::optional<Instant> now) {
        sheet::Notes notes;
        notes.now = now;
        return count(sheet::write(small_plan("cake"), *clock::Zone::find("UTC"), small_timetable(), notes), "\u2713");
    };
    CHECK(ticks(std::nullopt) == 0);
    CHECK(ticks(at(8, 40)) == 0);  // the oven is switched on then
    CHECK(ticks(at(9, 1)) == 3);   // and was free, and the cake weighed; it goes in from 9:00 to 9:02
    CHECK(ticks(at(9, 2)) == 4);
}

TEST_CASE("of a day under way the timetable says how far each step has come") {
    const auto states = [](std::optional<Instant> now) {
        sheet::Notes notes;
        notes.now = now;
        const std::string html = sheet::write(small_plan("cake"), *clock::Zone::find("UTC"), small_timetable(), notes);
        return std::string(count(html, "State</th>") > 0 ? "told" : "") +
               (count(html, "<td>begun</td>") > 0 ? " begun" : "") + (count(html, "<td>done</td>") > 0 ? " done" : "");
    };
    CHECK(states(std::nullopt) == "");
    CHECK(states(at(9, 0)) == "told");
    CHECK(states(at(9, 1)) == "told begun");
    CHECK(states(at(9, 30)) == "told done");
}

TEST_CASE("of a day under way what is still to come can slip, where that is known; else the page says why not") {
    const auto sheet_at = [](Instant now, std::optional<Minutes> slip, Instant done = at(9, 30)) {
        Timetable timetable = small_timetable();
        timetable.rows[0].slip = slip;
        timetable.pickups[0].done = done;
        sheet::Notes notes;
        notes.now = now;
        notes.no_slips = "Slip is not told: it hangs on something.";
        return sheet::write(small_plan("cake"), *clock::Zone::find("UTC"), timetable, notes);
    };
    const std::string before = sheet_at(at(8, 0), Minutes{25});
    CHECK(count(before, "Slip</th>") == 2);  // timetable and list
    CHECK(count(before, "State</th>") == 0);
    CHECK(count(before, "<td class=\"slip\">25m</td>") == 2);
    CHECK(count(before, "Slip: how much later") == 2);
    CHECK(count(before, "Slip is not told") == 0);
    CHECK(count(before, "What is late is made no later.") == 0);
    CHECK(count(sheet_at(at(8, 0), Minutes{0}, at(15, 1)), "What is late is made no later.") == 2);
    const std::string after = sheet_at(at(9, 10), Minutes{25});
    CHECK(count(after, "<td class=\"slip\">begun</td>") == 2);
    CHECK(count(after, "25m") == 0);
    CHECK(count(sheet_at(at(9, 40), Minutes{25}), "<td class=\"slip\">done</td>") == 2);
    const std::string untold = sheet_at(at(8, 0), std::nullopt);
    CHECK(count(untold, "Slip</th>") == 0);
    CHECK(count(untold, "Slip is not told: it hangs on something.") == 2);
}

TEST_CASE("the timetable says who, where there is more than one") {
    const auto heads = [](Plan plan) {
        const std::string html = sheet::write(plan, *clock::Zone::find("UTC"), small_timetable(), {});
        const std::size_t table = html.find("<table class=\"steps\">");
        return count(html.substr(table, html.find("</table>", table) - table), "Who</th>");
    };
    Plan plan = small_plan("cake");
    CHECK(heads(plan) == 0);
    plan.kitchen.crew.push_back({"Ben", {{at(6, 0), at(15, 0)}}, {}});
    CHECK(heads(plan) == 1);
}

namespace {
std::string name_of(const Order& order) { return "<bdi>" + order.name + "</bdi>"; }
}  // namespace

TEST_CASE("a pickup that cannot be kept is called late wherever it stands") {
    const auto late = [](Instant done) {
        Timetable timetable = small_timetable();
        timetable.pickups.front().done = done;
        return count(sheet::write(small_plan("cake"), *clock::Zone::find("UTC"), timetable, {}), "LATE");
    };
    CHECK(late(at(15, 0)) == 0);
    CHECK(late(at(15, 1)) == 4);  // at the head of the sheet and of the person's page, and in the rows of both
    Timetable timetable = small_timetable();
    Plan plan = small_plan("cake");
    timetable.pickups.front().pickup = plan.orders.front().pickup = at(9, 29);  // while hands are at work: it is drawn
    const std::string html = sheet::write(plan, *clock::Zone::find("UTC"), timetable, {});
    CHECK(count(html, "- LATE, ready 09:30</strong>: ") == 2);
    CHECK(count(html, ", LATE</text>") == 1);
}

TEST_CASE("pickups stand by time wherever they are listed, not as the plan has them") {
    Plan plan = small_plan("cake");
    plan.orders.push_back(plan.orders.front());
    plan.orders.back().name = "early bird";
    plan.orders.back().pickup -= Minutes{60};
    Timetable timetable = small_timetable();
    timetable.pickups.push_back(timetable.pickups.front());
    timetable.pickups.back().order = 1;
    timetable.pickups.back().pickup -= Minutes{60};
    const std::string html = sheet::write(plan, *clock::Zone::find("UTC"), timetable, {});
    const std::string first = name_of(plan.orders.front()), second = name_of(plan.orders.back());
    for (const char* from : {"<table class=\"pickups\">", "<p>For "}) {
        const std::size_t at = html.find(from);
        REQUIRE(at != std::string::npos);
        CHECK_MESSAGE(html.find(second, at) < html.find(first, at), from);
    }
}

TEST_CASE("the dates of a sheet") {
    const auto london = *clock::Zone::find("Europe/London");
    Timetable timetable = small_timetable();
    CHECK(sheet::dates_of(london, timetable) == "Fri 4 Oct 2024");
    timetable.rows[0].start = at(-2, 0);
    CHECK(sheet::dates_of(london, timetable) == "Thu 3 Oct to Fri 4 Oct 2024");
    timetable.pickups[0].pickup = at(24 * 90, 0);
    CHECK(sheet::dates_of(london, timetable) == "Thu 3 Oct 2024 to Thu 2 Jan 2025");
}

TEST_CASE("a clash that is solved is drawn lightly in its lane, behind the bars, and stands in the key") {
    const auto drawn = [](const std::vector<sheet::Solved>& solved) {
        return sheet::picture(small_plan("cake"), *clock::Zone::find("UTC"), small_timetable(), solved, Minutes{180});
    };
    CHECK(drawn({}).find("solved") == std::string::npos);
    CHECK(drawn({{0, std::nullopt, {at(13, 0), at(14, 0)}}}).find("solved") ==
          std::string::npos);  // not in the picture
    const std::string svg = drawn({{0, std::nullopt, {at(9, 10), at(9, 20)}}});
    CHECK(count(svg, "<g class=\"solved\">") == 1);
    CHECK(svg.find("<title>09:10 to 09:20: wanted twice") != std::string::npos);
    CHECK(count(drawn({{0, std::nullopt, {at(9, 10), at(9, 20)}}, {0, std::nullopt, {at(9, 15), at(9, 25)}}}),
                "<title>09:10 to 09:25: wanted twice") == 1);
    CHECK(svg.find("<g class=\"solved\">") > svg.find("<g class=\"hands\">"));    // the person's lane is above
    CHECK(svg.find("<g class=\"solved\">") < svg.find("<g class=\"machine\">"));  // the oven's bars are in front
    CHECK(svg.find("clash, solved</li>") < svg.find("<svg"));
    CHECK(sheet::kLook.find(".solved, .key") == std::string_view::npos);  // on paper too
}

TEST_CASE("the key of a picture has what is in it, the line that says who is there too") {
    const std::string drawn =
        sheet::picture(small_plan("cake"), *clock::Zone::find("UTC"), small_timetable(), {}, Minutes{180});
    const std::string key =
        drawn.substr(drawn.find("<ul class=\"key\">"), drawn.find("</ul>") - drawn.find("<ul class=\"key\">"));
    for (const char* said : {"<b>a</b> <bdi>cake</bdi>", "</span> hands<", "</span> washing up<",
                             "</span> hours of the plan<", "</span> in use<"})
        CHECK_MESSAGE(key.find(said) != std::string::npos, said);
    Timetable unwashed = small_timetable();
    unwashed.rows[0].hands.pop_back();
    unwashed.jobs.clear();
    add_jobs(small_plan("cake"), unwashed);
    CHECK(
        sheet::picture(small_plan("cake"), *clock::Zone::find("UTC"), unwashed, {}, Minutes{180}).find("washing up<") ==
        std::string::npos);
    Plan nobody = small_plan("cake");
    nobody.kitchen.crew[0].hours.clear();
    CHECK(sheet::picture(nobody, *clock::Zone::find("UTC"), small_timetable(), {}, Minutes{180})
              .find("hours of the plan<") == std::string::npos);
}

namespace {

/// How many there are; none lies on another or is cut at an edge.
std::size_t check_labels(const std::string& svg) {
    const auto labels = test::labels_of(svg);
    for (std::size_t i = 0; i < labels.size(); ++i) {
        CHECK_MESSAGE((labels[i].left >= 0 && labels[i].right <= 580), labels[i].text << " is cut");
        for (std::size_t j = 0; j < i; ++j) {
            const bool apart = labels[i].right <= labels[j].left || labels[j].right <= labels[i].left ||
                               std::abs(labels[i].y - labels[j].y) >= 12;
            CHECK_MESSAGE(apart, labels[i].text << " lies on " << labels[j].text);
        }
    }
    return labels.size();
}

}  // namespace

TEST_CASE("in a picture no label lies on another or is cut, and its key stands at its head") {
    // Many short steps, one after another, two fridge lanes, and pickups at nearly one time.
    Plan plan = small_plan("cake");
    plan.components[0].steps[0].name = "brush";
    Timetable timetable;
    for (int i = 0; i < 40; ++i) {
        Row row = small_timetable().rows[0];
        row.batch = 1 + i % 12;
        row.start = at(9, 3 * i);
        row.ready = row.end = at(9, 3 * i + 2);
        row.hands = {{0, {row.start, row.end}, false}};
        row.equipment = {{0, 1, {row.start, row.end + Minutes{i % 3}}}};
        timetable.rows.push_back(row);
    }
    plan.kitchen.equipment[0].kind = EquipmentKind::other;
    add_jobs(plan, timetable);
    timetable.oven = small_timetable().oven;
    for (int i = 1; i < 8; ++i)
        timetable.oven.push_back({OvenEvent::Kind::set, 0, at(9, 40 + 3 * i), 180'000 + 5'000 * i});
    // Turned to a setting a minute before a stretch ends.
    for (const int minute : {39, 40}) timetable.oven.push_back({OvenEvent::Kind::set, 0, at(10, minute), 230'000});
    for (int i = 0; i < 6; ++i) {
        plan.orders.push_back({"A long name of table " + std::to_string(i), at(11, 4 * i), Minutes{15}, {}, {}});
        timetable.pickups.push_back({i + 1, at(11, 4 * i), at(10, 0), {}});
    }
    const std::string picture = sheet::picture(plan, *clock::Zone::find("UTC"), timetable, {}, Minutes{180});
    std::size_t labels = 0;
    for (std::size_t from = picture.find("<svg"); from != std::string::npos; from = picture.find("<svg", from + 1))
        labels += check_labels(picture.substr(from, picture.find("</svg>", from) - from));
    CHECK(labels > 50);
    CHECK(count(picture, "class=\"degrees\"") > 4);
    // Once for the screen, above the drawing, once for paper, with the times, on every page that the drawing takes.
    const std::string key = "<li><b>a</b> <bdi>cake</bdi></li>";
    CHECK(count(picture.substr(0, picture.find("<svg")), key) == 2);
    CHECK(picture.find(key) < picture.find("class=\"wide\""));
    CHECK(picture.find("class=\"over\"") < picture.rfind(key, picture.find("<svg")));
}

TEST_CASE("on paper a page may end between two lanes of a picture, and in none") {
    Plan plan = small_plan("cake");
    plan.kitchen.crew.push_back({"Ben", {{at(6, 0), at(15, 0)}}, {}});
    const std::string drawn = sheet::picture(plan, *clock::Zone::find("UTC"), small_timetable(), {}, Minutes{180});
    const auto row_of = [&](const std::string& name) {
        const std::size_t row = drawn.rfind("<div class=\"lane\">", drawn.find(">" + name + "</text>"));
        REQUIRE(row != std::string::npos);
        return row;
    };
    const std::size_t first = drawn.find("<div class=\"lane\">");
    CHECK(row_of("cake") == first);
    CHECK(row_of("Ben") == drawn.find("<div class=\"lane\">", first + 1));
    CHECK(drawn.find("class=\"heat\"") > drawn.find("<div class=\"lane\">", row_of("Ben") + 1));
    CHECK(sheet::kLook.find(".over, .lane, .weigh, .pickups tbody { break-inside: avoid; }") != std::string::npos);
    CHECK(sheet::kLook.find(".over { display: table-header-group; }") != std::string::npos);
}

TEST_CASE("what stands at the edge of a picture is not cut, and a long name of a lane takes two lines") {
    Plan plan = small_plan("cake");
    plan.kitchen.equipment[0].name = "convection oven of the hall";
    plan.kitchen.crew[0].name = "Clementine-Ottilie";
    Timetable timetable = small_timetable();
    // The last setting is reached two minutes before the picture ends.
    timetable.oven = {{OvenEvent::Kind::on, 0, at(8, 40), 180'000}, {OvenEvent::Kind::set, 0, at(9, 29), 190'000}};
    timetable.rows[0].end = at(9, 50);
    const std::string drawn = sheet::picture(plan, *clock::Zone::find("UTC"), timetable, {}, Minutes{180});
    bool last = false;
    for (const test::Label& label : test::labels_of(drawn)) {
        CHECK_MESSAGE(label.left >= 0, label.text);
        CHECK_MESSAGE(label.right <= 580, label.text);
        last = last || label.text == "190 C";
    }
    CHECK(last);
    for (const char* line : {">convection</text>", ">oven of</text>", ">Clementine</text>", ">-Ottilie</text>"})
        CHECK_MESSAGE(drawn.find(line) != std::string::npos, line);
}

TEST_CASE("the sheet stands by itself") {
    const std::string html = sheet_of("cake");
    for (const char* loaded : {"http:", "https:", "src=", "href=", "@import", "url("})
        CHECK_MESSAGE(html.find(loaded) == std::string::npos, loaded);
    CHECK(html.find("09:40") != std::string::npos);  // the alarm clock: 08:40 UTC in summer time
    CHECK(html.find("class=\"box\"") != std::string::npos);
    CHECK(html.find("trained person decide") != std::string::npos);
    // Who tapes up the checklist alone sees on it what the work is for.
    CHECK(html.find("<strong>Pickup <bdi>cake</bdi></strong>", html.find("<h2>Checklist</h2>")) != std::string::npos);
}

TEST_CASE("quiet hours are folded away and long stretches cut") {
    Plan plan = small_plan("cake");
    Timetable timetable = small_timetable();
    CHECK(sheet::stretches(plan, timetable, Minutes{120}, Minutes{180}) == std::vector<Span>{{at(8, 40), at(9, 30)}});
    // Cut at a half hour; not for what is a sixth longer.
    CHECK(sheet::stretches(plan, timetable, Minutes{400}, Minutes{200}) ==
          std::vector<Span>{{at(8, 40), at(12, 0)}, {at(12, 0), at(15, 0)}});
    CHECK(sheet::stretches(plan, timetable, Minutes{400}, Minutes{330}) == std::vector<Span>{{at(8, 40), at(15, 0)}});
}

TEST_CASE("an oven heats and cools at its own rates") {
    const auto curve = sheet::heat_curve(small_plan("cake"), 0, small_timetable().oven, at(15, 0));
    // From the room's 20 C to 180 C at 8 C a minute: 20 minutes; back at 4 C a minute: 40 minutes.
    const std::vector<std::pair<Instant, MilliCelsius>> corners = {
        {at(8, 40), 20'000}, {at(9, 0), 180'000}, {at(9, 30), 180'000}, {at(10, 10), 20'000}, {at(15, 0), 20'000}};
    REQUIRE(curve.size() == corners.size());
    for (std::size_t i = 0; i < corners.size(); ++i) {
        CHECK(curve[i].at == corners[i].first);
        CHECK(curve[i].temperature == corners[i].second);
    }
}

namespace {

/// Relative luminance and contrast as WCAG 2.2 defines them (https://www.w3.org/TR/WCAG22/, 'contrast ratio').
double luminance(std::string_view hex) {
    const double weight[] = {0.2126, 0.7152, 0.0722};
    double sum = 0;
    for (int i = 0; i < 3; ++i) {
        const double c = std::stoi(std::string(hex.substr(static_cast<std::size_t>(2 * i), 2)), nullptr, 16) / 255.0;
        sum += weight[i] * (c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4));
    }
    return sum;
}

double contrast(std::string_view a, std::string_view b) {
    const double x = luminance(a), y = luminance(b);
    return (std::max(x, y) + 0.05) / (std::min(x, y) + 0.05);
}

/// The colour of a variable in the scheme that begins at `from` in the style.
std::string colour(std::size_t from, const std::string& variable) {
    const std::size_t at = sheet::kLook.find("--" + variable + ": #", from) + variable.size() + 5;
    return std::string(sheet::kLook.substr(at, 6));
}

}  // namespace

TEST_CASE("contrast") {
    // Values computed from the definition; #767676 on white is the well-known edge of 4.5 : 1.
    CHECK(contrast("000000", "ffffff") == doctest::Approx(21.0));
    CHECK(contrast("767676", "ffffff") == doctest::Approx(4.5422).epsilon(1e-4));
    CHECK(contrast("777777", "ffffff") == doctest::Approx(4.4781).epsilon(1e-4));

    for (const std::size_t scheme : {std::size_t{0}, sheet::kLook.find("prefers-color-scheme: dark")}) {
        const std::string paper = colour(scheme, "paper");
        for (const char* text : {"ink", "soft", "heat"})
            CHECK_MESSAGE(contrast(colour(scheme, text), paper) >= 4.5, text);
        CHECK(contrast(colour(scheme, "hands-ink"), colour(scheme, "hands")) >= 4.5);
        CHECK(contrast(colour(scheme, "ink"), colour(scheme, "machine")) >= 4.5);
        // WCAG 1.4.11: what carries a meaning stands out 3 : 1 from its neighbours.
        for (const char* part : {"hands", "line", "heat"})
            CHECK_MESSAGE(contrast(colour(scheme, part), paper) >= 3, part);
    }
}
