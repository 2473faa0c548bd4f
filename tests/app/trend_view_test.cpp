// The trend on the screen and in the terminal: what a round sets down, what the list of sites warns of, what can be
// pressed.
#include <algorithm>
#include <memory>

#include <doctest/doctest.h>

#include "app/app.h"
#include "app/kit/chart.h"
#include "app/site/site_views.h"
#include "app/terminal/trend_text.h"
#include "platform/desktop/embedded.h"
#include "tests/support/shipped_pack.h"

namespace beckhand {
namespace {

using tests::shipped_pack;

constexpr std::int64_t month = 2'629'746'000;

struct Bench {
    Store store = std::move(*Store::open(":memory:"));
    Instant clock{1'764'072'000'000}; // 25 Nov 2025
    std::uint8_t ids = 0;
    std::unique_ptr<App> app;
    std::string site;

    Bench() {
        SiteRow row{"5174e000000000000000000000000000", {}};
        row.site.name = "Alder bank";
        row.site.fall = metres(3);
        row.site.lift = metres(18);
        row.site.record.delivered = litres_per_minute(4);
        row.site.record.waste = litres_per_minute(40);
        store.save_site(row, clock, [](const Outcome& saved) { REQUIRE(saved.has_value()); });
        site = row.id;
        app = std::make_unique<App>(shipped_pack(), Services{&store, [this] { return clock; },
                                                             [this] {
                                                                 std::array<std::uint8_t, 16> bytes{};
                                                                 bytes[0] = ++ids;
                                                                 return bytes;
                                                             }});
        app->start();
    }
    const State& state() const { return app->state(); }
    const SiteTrend& trend() const { return state().trends.at(site); }
    void type(const char* measurement, const char* text) {
        app->act(TakeFigure{measurement});
        for (const char* c = text; *c != 0; ++c) app->act(Press{kit::KeypadPress::digit, *c});
        app->act(Press{kit::KeypadPress::accept, 0});
    }
    void round(const char* delivered) {
        clock.ms += month;
        app->act(ShowTrend{site});
        app->act(BeginRound{});
        type("Q", delivered);
        type("B", "55");
        app->act(SaveRound{});
    }
};

std::vector<kit::Control> drawn(const State& state, bool tablet) {
    kit::Kit kit(embedded_regular(), embedded_bold());
    if (tablet) kit.set_size(1280, 800, 5.9f, 1.0f);
    else kit.set_size(412, 915, 6.3f, 1.0f);
    for (int pass = 0; pass < 5; ++pass) {
        kit.feed({});
        (void)view(state, shipped_pack(), kit);
        if (kit.settled()) break;
    }
    CHECK(kit.settled());
    return kit.controls();
}

bool has(const std::vector<kit::Control>& controls, std::string_view id) {
    return std::any_of(controls.begin(), controls.end(), [&](const kit::Control& c) { return c.id == id; });
}
bool says(const std::vector<kit::Control>& controls, std::string_view words) {
    return std::any_of(controls.begin(), controls.end(),
                       [&](const kit::Control& c) { return c.label.find(words) != std::string::npos; });
}

} // namespace

TEST_CASE("a round is kept as a closed visit, and the trend shows it") {
    Bench bench;
    bench.app->act(ShowTrend{bench.site});
    CHECK(bench.trend().trend.state == TrendState::too_few);
    bench.app->act(BeginRound{});
    bench.app->act(SaveRound{}); // nothing set down, nothing saved
    CHECK(bench.state().screen == Screen::round);
    bench.type("Q", "4");
    bench.type("W", "40.5");
    bench.app->act(TickService{"snifter_wire"});
    bench.app->act(TickService{"frost"});
    bench.app->act(TickService{"frost"}); // and off again
    bench.app->act(SaveRound{});
    REQUIRE(!bench.state().trouble);
    CHECK(bench.state().screen == Screen::trend);
    REQUIRE(bench.state().log.size() == 1);
    CHECK(bench.state().log.front().closed == Closing::left_as_is);
    CHECK(bench.trend().trend.points.size() == 1);
    const std::vector<Event> events = *bench.store.events(bench.state().log.front().id);
    const Visit visit = fold(events);
    CHECK(visit.as_found.size() == 2);
    CHECK(visit.serviced == std::vector<std::string>{"snifter_wire"});
    const auto& due = bench.trend().due;
    const auto wire = std::find_if(due.begin(), due.end(), [](const Due& d) { return d.id == "snifter_wire"; });
    REQUIRE(wire != due.end());
    CHECK(wire->last.has_value());
}

TEST_CASE("work that nobody ever set down is not called due since a day: it was never recorded here") {
    Bench bench;
    bench.round("4"), bench.clock.ms += 40 * month, bench.app->act(ShowTrend{bench.site});
    const auto words = [](const Due& due, Instant now) { return due_when(due, now, {}) + " " + due_why(due, {}); };
    int never = 0, since = 0;
    for (const Due& due : bench.trend().due) {
        const std::string said = words(due, bench.state().now);
        CAPTURE(said);
        const bool overdue = due.at < bench.state().now;
        CHECK((said.find("never recorded here") != std::string::npos) == !due.last.has_value());
        CHECK((said.find("due since") != std::string::npos) == (overdue && due.last.has_value()));
        CHECK((said.find("last done") != std::string::npos) == (due.last.has_value() && due.by != DueBy::history));
        never += overdue && !due.last ? 1 : 0;
        since += overdue && due.last ? 1 : 0;
    }
    CHECK(never > 0);
    CHECK(since > 0); // the round's figures are a service of their own
    const std::string told = due_text(shipped_pack(), find_site(bench.state(), bench.site)->site, bench.trend(), bench.state().now, {});
    CHECK(told.find("never recorded here") != std::string::npos);
}

TEST_CASE("a figure that is emptied again is not set down; Back leaves the keypad, then the round") {
    Bench bench;
    bench.app->act(ShowTrend{bench.site});
    bench.app->act(BeginRound{});
    bench.type("Q", "4");
    CHECK(bench.state().round.figures.size() == 1);
    bench.type("Q", "");
    CHECK(bench.state().round.figures.empty());
    bench.app->act(TakeFigure{"W"});
    bench.app->act(Back{});
    CHECK(bench.state().screen == Screen::round);
    CHECK(!bench.state().entry);
    bench.app->act(Back{});
    CHECK(bench.state().screen == Screen::trend);
    bench.app->act(Back{});
    CHECK(bench.state().screen == Screen::site_sheet);
}

TEST_CASE("a site that is going down is warned of on the list, on its sheet and in the terminal") {
    Bench bench;
    for (const char* flow : {"4", "4", "3.7", "3.4", "3.2"}) bench.round(flow);
    REQUIRE(bench.trend().trend.state == TrendState::going_down);
    bench.app->act(Show{Screen::sites});
    CHECK(says(drawn(bench.state(), false), "going down since"));
    bench.app->act(ShowSite{bench.site});
    CHECK(says(drawn(bench.state(), false), "Going down"));
    bench.app->act(ShowTrend{bench.site});
    const std::string text = trend_text(shipped_pack(), bench.state().sites.front().site, bench.trend(), bench.clock, Units::metric, {});
    CHECK(text.find(" % less than the ") != std::string::npos);
    CHECK(text.find("It began between ") != std::string::npos);
    CHECK(text.find("Likeliest behind it: ") != std::string::npos);
    CHECK(text.find("CALLED OUT") != std::string::npos);
    const std::string json = trend_json(shipped_pack(), bench.state().sites.front().site, bench.trend(), bench.clock);
    CHECK(json.find("\"state\": \"going_down\"") != std::string::npos);
    bench.round("4.1");
    bench.app->act(Show{Screen::sites});
    CHECK(!says(drawn(bench.state(), false), "going down since"));
}

TEST_CASE("the trend can be read and used on a phone and on a tablet") {
    Bench bench;
    for (const char* flow : {"4", "3.9", "3.4"}) bench.round(flow);
    for (const bool tablet : {false, true}) {
        const std::vector<kit::Control> controls = drawn(bench.state(), tablet);
        for (const char* id : {"back", "round", "method", "show_0", "show_4"}) {
            CAPTURE(id);
            CHECK(has(controls, id));
        }
        CHECK(says(controls, "Delivered flow over time"));
        CHECK(says(controls, "Take on the next visit"));
    }
    bench.app->act(ShowFigure{Shown::fall});
    CHECK(says(drawn(bench.state(), false), "Fall: nothing was measured here yet."));
    bench.app->act(BeginRound{});
    CHECK(has(drawn(bench.state(), true), "take_Q"));
    CHECK(has(drawn(bench.state(), false), "service_waste_rubber"));
    bench.app->act(TakeFigure{"Q"});
    CHECK(has(drawn(bench.state(), false), "care"));
}

TEST_CASE("steps of a chart's axis are round") {
    CHECK(kit::chart_step(1, 5) == doctest::Approx(0.2));
    CHECK(kit::chart_step(4.6, 5) == doctest::Approx(1));
    CHECK(kit::chart_step(0.07, 5) == doctest::Approx(0.02));
    CHECK(kit::chart_step(130, 5) == doctest::Approx(50));
}

} // namespace beckhand
