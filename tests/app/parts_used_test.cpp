// Parts used up: ticked where the repair is done, in the window and at a terminal; kept, taken back by name, and
// on the list of what to carry.
#include <algorithm>
#include <memory>
#include <sstream>

#include <doctest/doctest.h>

#include "app/app.h"
#include "app/log/record_text.h"
#include "app/terminal/trend_text.h"
#include "app/terminal/visit.h"
#include "app/terminal/visit_said.h"
#include "platform/desktop/embedded.h"
#include "tests/app/hand.h"
#include "tests/support/shipped_pack.h"

namespace beckhand {
namespace {

using tests::shipped_pack;

const Cause& with_parts() {
    for (const Cause& cause : shipped_pack().causes) {
        if (cause.fix.parts.size() >= 2) return cause;
    }
    FAIL("no fix with two parts");
    return shipped_pack().causes.front();
}

struct Bench {
    Store store = std::move(*Store::open(":memory:"));
    Instant clock{1'764'072'000'000}; // 25 Nov 2025
    std::uint8_t ids = 0;
    std::unique_ptr<App> app;
    std::string site = "5174e000000000000000000000000000";

    Bench() {
        SiteRow row{site, {}};
        row.site.name = "Alder bank";
        row.site.access = "Ask Orla at the farm.";
        row.site.call = "Orla, 0123";
        row.site.hemisphere = Hemisphere::south;
        store.save_site(row, clock, [](const Outcome& saved) { REQUIRE(saved.has_value()); });
        app = std::make_unique<App>(shipped_pack(), Services{&store, [this] { return clock; },
                                                             [this] {
                                                                 std::array<std::uint8_t, 16> bytes{};
                                                                 bytes[0] = ++ids;
                                                                 return bytes;
                                                             }});
        app->start();
    }
    const State& state() const { return app->state(); }
    const Visit& visit() const { return state().scene.visit; }
    void at_fix() {
        app->act(StartVisit{site});
        app->act(Say{Began{}});
        app->act(Say{FixChosen{with_parts().id}});
        app->act(Say{Checked{with_parts().id, CheckResult::yes}});
        REQUIRE(state().scene.stage == Stage::fix);
        app->act(ReadCautions{});
    }
    std::string record() const {
        std::string all;
        for (const std::string& line : record_lines(shipped_pack(), *store.events(state().visit_id), Units::metric)) all += line + "\n";
        return all;
    }
};

/// The fix screen under a finger.
struct Screen412 {
    kit::Kit kit{embedded_regular(), embedded_bold()};
    Hand hand;
    explicit Screen412(Bench& bench, bool tablet = false) : hand{kit, [this, &bench] { (void)bench.app->frame(kit); }} {
        // Long enough for all of it: what must be scrolled to is not what is looked at here.
        if (tablet) kit.set_size(1280, 7000, 5.9f, 1.0f);
        else kit.set_size(412, 9000, 6.3f, 1.0f);
        hand.settle();
    }
    void tap(const char* id) {
        hand.settle();
        hand.tap(id);
        hand.settle();
    }
};

bool holds(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

} // namespace

TEST_CASE("a part is ticked as used where the repair is done, counted up, and taken back by its name") {
    Bench bench;
    bench.at_fix();
    const std::vector<std::string>& parts = with_parts().fix.parts;
    Screen412 screen(bench);
    for (std::size_t i = 1; i <= parts.size(); ++i) {
        const kit::Control* const tick = screen.hand.find("used_" + std::to_string(i));
        REQUIRE(tick != nullptr);
        CHECK_FALSE(tick->chosen);
        CHECK(tick->box.h >= 9.0f * 6.3f); // a big target: 9 mm and more, as for every tick
    }
    screen.tap("used_1");
    CHECK(bench.visit().parts_used == std::map<std::string, int>{{parts[0], 1}});
    CHECK(screen.hand.find("used_1")->chosen);
    screen.tap("more_1");
    CHECK(bench.visit().parts_used.at(parts[0]) == 2);
    screen.tap("used_2");
    CHECK(holds(bench.record(), "Part used: " + parts[1] + "."));
    screen.tap("used_1"); // the second one of them was not used after all
    CHECK(bench.visit().parts_used.at(parts[0]) == 1);
    CHECK(bench.state().undone == "Part used: " + parts[0] + ".");
    screen.tap("back"); // what was said last and still stands
    CHECK_FALSE(bench.visit().parts_used.contains(parts[1]));
    CHECK(bench.state().undone == "Part used: " + parts[1] + ".");
    CHECK(bench.state().scene.stage == Stage::fix);
    CHECK(holds(bench.record(), "Part used: " + parts[1] + ". (taken back)"));
}

TEST_CASE("a part in free words is typed, said, and then stands among the others") {
    Bench bench;
    bench.at_fix();
    bench.app->act(NamePart{"bolt M12"});
    Screen412 screen(bench, true);
    screen.tap("use_part");
    CHECK(bench.visit().parts_used == std::map<std::string, int>{{"bolt M12", 1}});
    CHECK(bench.state().part.empty());
    const std::string id = "used_" + std::to_string(with_parts().fix.parts.size() + 1);
    REQUIRE(screen.hand.find(id) != nullptr);
    CHECK(screen.hand.find(id)->chosen);
    screen.tap(id.c_str());
    CHECK(bench.visit().parts_used.empty());
}

TEST_CASE("a part used at two visits is carried to the next one, in the window's list and in the terminal's") {
    Bench bench;
    for (int visit = 0; visit < 2; ++visit) {
        bench.clock.ms += 40LL * 86'400'000;
        bench.at_fix();
        bench.app->act(Say{PartUsed{"bolt M12", 3}});
        bench.app->act(Say{Closed{Closing::left_as_is}});
        bench.app->act(ShowTrend{bench.site});
        const SiteTrend& trend = bench.state().trends.at(bench.site);
        const std::vector<std::string> carry = carry_list(shipped_pack(), trend, bench.state().now);
        CHECK((std::find(carry.begin(), carry.end(), "bolt M12") != carry.end()) == (visit == 1));
    }
    const SiteTrend& trend = bench.state().trends.at(bench.site);
    CHECK(parts_often_words(trend.parts) == "Used here often: bolt M12 (6 at 2 visits).");
    const std::string text = due_text(shipped_pack(), bench.state().sites.front().site, trend, bench.state().now, {});
    CHECK(holds(text, "Used here often: bolt M12"));
}

TEST_CASE("a site in the south has its seasons half a year later, and its list says so") {
    Bench bench;
    bench.at_fix();
    bench.app->act(Say{Closed{Closing::left_as_is}});
    bench.app->act(ShowTrend{bench.site});
    const std::vector<Due> south = bench.state().trends.at(bench.site).due;
    Site site = bench.state().sites.front().site;
    const std::string words = due_text(shipped_pack(), site, bench.state().trends.at(bench.site), bench.state().now, {});
    CHECK(holds(words, "south of the equator"));
    site.hemisphere.reset();
    bench.app->act(EditSite{bench.site});
    bench.app->act(EditText{"hemisphere", "north"});
    bench.app->act(SaveDraft{});
    bench.app->act(ShowTrend{bench.site});
    const std::vector<Due> north = bench.state().trends.at(bench.site).due;
    int moved = 0;
    for (const Due& one : south) {
        const auto other = std::find_if(north.begin(), north.end(), [&](const Due& d) { return d.id == one.id; });
        REQUIRE(other != north.end());
        const Service* const service = find_service(shipped_pack(), one.id);
        if (service != nullptr && service->month < 1) CHECK(one.at == other->at);
        moved += one.at == other->at ? 0 : 1;
    }
    CHECK(moved > 0);
}

TEST_CASE("a visit does not copy who to call and the way there") {
    Bench bench;
    bench.at_fix();
    const std::vector<Event> events = *bench.store.events(bench.state().visit_id);
    const Site& site = std::get<Opened>(events.front().what).site;
    CHECK(site.name == "Alder bank");
    CHECK(site.call.empty());
    CHECK(site.access.empty());
}

TEST_CASE("at a terminal a part is said by its number, by its name, or by how many of it") {
    Bench bench;
    bench.at_fix();
    const std::vector<std::string>& parts = with_parts().fix.parts;
    const auto part = [&](const std::string& text) { return said_part(bench.state(), shipped_pack(), text); };
    CHECK(part("2")->part == parts[1]);
    CHECK(part("3 bolts")->part == "bolts");
    CHECK(part("3 bolts")->count == 3);
    std::string loud = parts[0];
    loud[0] = static_cast<char>(std::toupper(loud[0]));
    CHECK(part(loud)->part == parts[0]);
    for (const char* wrong : {"", "99", "0 bolts", "5000 bolts"}) {
        CAPTURE(wrong);
        CHECK_FALSE(part(wrong).has_value());
    }
    std::istringstream in("part 1\npart 2 hose clip\nb\npart\nq\n");
    std::ostringstream out;
    CHECK(run_terminal(*bench.app, in, out) == 0);
    CHECK(bench.visit().parts_used == std::map<std::string, int>{{parts[0], 1}});
    CHECK(holds(out.str(), "Parts: 1 " + parts[0]));
    CHECK(holds(out.str(), "Taken back: Part used: 2 x hose clip."));
    CHECK(holds(out.str(), "It is not said which part."));
    CHECK(holds(out.str(), "Parts used: " + parts[0] + "."));
}

} // namespace beckhand
