// Measuring with what the hand has, from the offer on the keypad to the event in the log; and the pad, which must
// count every beat up to 180 a minute at the time of the touch.
#include <cmath>
#include <memory>
#include <string>

#include <doctest/doctest.h>

#include "app/app.h"
#include "app/measuring/measuring.h"
#include "engine/diagnosis/derived.h"
#include "platform/desktop/pointer_feed.h"
#include "tests/app/hand.h"
#include "tests/support/knocks.h"
#include "tests/support/shipped_pack.h"

namespace beckhand {
namespace {

struct Bench {
    Result<Store> store = Store::open(":memory:");
    std::uint8_t ids = 0;
    Instant clock{1'764'072'000'000};
    std::unique_ptr<App> app;

    Bench() {
        REQUIRE(store.has_value());
        app = std::make_unique<App>(tests::shipped_pack(), Services{&*store, [this] { clock.ms += 1000; return clock; },
                                                                    [this] {
                                                                        std::array<std::uint8_t, 16> bytes{};
                                                                        bytes[0] = ++ids;
                                                                        return bytes;
                                                                    }});
        app->start();
        act(EditSite{});
        act(EditText{"name", "Upper spring"});
        act(EditField{"fall_m"});
        type("2");
        act(EditField{"lift_m"});
        type("14");
        act(SaveDraft{});
    }
    const State& state() const { return app->state(); }
    void act(const Intent& intent) { app->act(intent); }
    void type(const std::string& text) {
        for (const char key : text) act(Press{kit::KeypadPress::digit, key});
        act(Press{kit::KeypadPress::accept, 0});
    }
    void type_slot(const std::string& key, const std::string& text) {
        act(TypeSlot{key});
        type(text);
    }
    void begin_round(const std::string& measurement) {
        act(ShowTrend{state().site_id});
        act(BeginRound{});
        act(TakeFigure{measurement});
        act(HelpMeasure{});
    }
    /// A way of measuring this figure, from the sheet that is open.
    void begin_way(const std::string& field, Way way) {
        act(EditField{field});
        act(HelpMeasure{});
        act(ChooseWay{way});
    }
    void tap(double per_minute, int taps) {
        for (int i = 0; i < taps; ++i) act(Struck{{100 + i * 60 / per_minute}});
    }
};

} // namespace

TEST_CASE("the beat, tapped, goes into the round with its care, and from there into the log") {
    Bench bench;
    bench.begin_round("B");
    REQUIRE(bench.state().screen == Screen::measuring);
    bench.act(ChooseWay{Way::tapped});
    bench.act(UseMeasured{});
    CHECK(bench.state().screen == Screen::measuring); // nothing to use yet
    bench.tap(53, 20);
    CHECK(figure_of(bench.state().measuring, Units::metric).ready);
    bench.act(UseMeasured{});
    REQUIRE(bench.state().screen == Screen::round);
    const Measured taken = bench.state().round.figures.at("B");
    CHECK(Frequency::from_si(taken.value_si).in(beats_per_minute) == doctest::Approx(53));
    CHECK(taken.care == Care::careful);
    CHECK(taken.error_si == 0); // finer than the pack takes for granted
    bench.act(SaveRound{});
    CHECK(bench.state().screen == Screen::trend);
}

TEST_CASE("a coarse way brings its own error, and the figure counts for less") {
    Bench bench;
    bench.begin_round("S");
    bench.act(ChooseWay{Way::floated});
    bench.type_slot("distance", "5");
    bench.type_slot("time_1", "14");
    bench.type_slot("width", "0.6");
    for (const char* const depth : {"depth_1", "depth_2", "depth_3"}) bench.type_slot(depth, "70");
    bench.act(UseMeasured{});
    REQUIRE(bench.state().screen == Screen::round);
    const Measured taken = bench.state().round.figures.at("S");
    const Measurement& how = *find_measurement(tests::shipped_pack(), "S");
    CHECK(taken.error_si > error_of(how, taken.value_si, Care::careful));
    CHECK(error_of(how, taken) == taken.error_si);
}

TEST_CASE("a site's fall by hose, in feet and inches as in metres") {
    Bench bench;
    bench.act(EditSite{bench.state().site_id});
    bench.begin_way("fall_m", Way::hose);
    bench.type_slot("drop_1", "1.3");
    bench.type_slot("drop_2", "0.9");
    bench.act(UseMeasured{});
    REQUIRE(bench.state().screen == Screen::site_edit);
    CHECK(bench.state().draft.fall->in(metres) == doctest::Approx(2.2));
    CHECK_FALSE(bench.state().entry);

    bench.act(SetUnits{Units::us});
    bench.begin_way("source_flow_lpm", Way::bucket);
    bench.type_slot("volume", "5 1/2");
    bench.act(Struck{{0, 20, 30, 50, 60, 80}});
    bench.act(UseMeasured{});
    CHECK(bench.state().draft.source_flow->in(us_gallons_per_minute) == doctest::Approx(16.5));
}

TEST_CASE("what cannot be a figure of this kind is not taken, and it says why") {
    Bench bench;
    bench.act(EditSite{bench.state().site_id});
    bench.begin_way("fall_m", Way::hose);
    bench.type_slot("drop_1", "0.05");
    bench.act(UseMeasured{});
    CHECK(bench.state().screen == Screen::measuring);
    CHECK(bench.state().measuring.trouble.find("0.1 to 100 m") != std::string::npos);
}

TEST_CASE("undo takes a whole fill, or a start; Back leads out step by step") {
    Bench bench;
    bench.act(EditSite{bench.state().site_id});
    bench.begin_way("source_flow_lpm", Way::bucket);
    bench.act(Struck{{1, 15, 30}});
    bench.act(ForgetLast{});
    CHECK(fills_of(bench.state().measuring) == std::vector<double>{14});
    bench.act(ForgetLast{});
    CHECK(bench.state().measuring.struck.empty());
    bench.act(Back{});
    CHECK_FALSE(bench.state().measuring.way);
    bench.act(Back{});
    REQUIRE(bench.state().screen == Screen::site_edit);
    CHECK(bench.state().entry->field == "source_flow_lpm");
}

TEST_CASE("a fill that runs is counted along, and is not thrown away by a press") {
    Bench bench;
    bench.act(EditSite{bench.state().site_id});
    bench.begin_way("source_flow_lpm", Way::bucket);
    bench.type_slot("volume", "10");
    bench.act(Struck{{1, 14.2, 30, 43.4, 60}});
    kit::Kit kit(embedded_regular(), embedded_bold());
    kit.set_size(412, 915, 6.3f, 1.0f);
    Hand hand{kit, [&] { (void)view(bench.state(), tests::shipped_pack(), kit); }};
    hand.seconds = 67.4;
    hand.frame({});
    CHECK(hand.find("watch")->label == "Stop: at the mark, 7 s");
    REQUIRE(kit.wake().has_value());
    CHECK(*kit.wake() == doctest::Approx(0.6));
    CHECK_FALSE(hand.find("use")->enabled);
    bench.act(Struck{{72.9}});
    hand.frame({});
    CHECK(hand.find("watch")->label == "Start: water runs in");
    CHECK(hand.find("use")->enabled);
}

TEST_CASE("a band is told to two figures, a narrow one to three") {
    CHECK(band_text(Figure::beat, 47.6 / 60, 64.4 / 60, Units::metric) == "48 to 64 beats/min");
    CHECK(band_text(Figure::length, 2.31, 2.38, Units::metric) == "2.31 to 2.38 m");
    CHECK(band_text(Figure::flow, 0, 0, Units::metric) == "0 to 0 L/min");
}

TEST_CASE("the microphone is wanted exactly while the listening screen stands") {
    Bench bench;
    CHECK_FALSE(bench.app->wants_sound());
    bench.begin_round("B");
    CHECK_FALSE(bench.app->wants_sound());
    bench.act(ChooseWay{Way::by_ear});
    CHECK(bench.app->wants_sound());

    KnockRecipe recipe;
    recipe.beats_per_minute = 63;
    recipe.seconds = 31;
    const Knocks made = knocks(recipe, 2);
    const auto samples = mixed(made.samples, noise(Noise::pink, 31, recipe.samples_per_second, 3), 6, recipe.samples_per_second);
    for (std::size_t at = 0; at < samples.size(); at += 2205) {
        bench.app->hear(std::span<const float>(samples).subspan(at, std::min<std::size_t>(2205, samples.size() - at)), recipe.samples_per_second);
    }
    CHECK(bench.state().measuring.hearing.level > 0);
    const MeasuredFigure heard = figure_of(bench.state().measuring, Units::metric);
    REQUIRE(heard.value_si);
    CHECK(std::abs(*heard.value_si * 60 - made.beats_per_minute) < 1);
    bench.act(UseMeasured{});
    CHECK(bench.state().screen == Screen::round);
    CHECK_FALSE(bench.app->wants_sound());
}

TEST_CASE("without a microphone it says so, and what cannot be heard is not given") {
    Bench bench;
    bench.begin_round("B");
    bench.act(ChooseWay{Way::by_ear});
    bench.app->cannot_hear("There is none.");
    CHECK(figure_of(bench.state().measuring, Units::metric).mind.front() == "There is none.");
    const auto water = noise(Noise::pink, 31, 16000, 5);
    for (const char* const words : {"Not told yet", "cannot be told"}) {
        bench.app->hear(water, 16000);
        const MeasuredFigure heard = figure_of(bench.state().measuring, Units::metric);
        CHECK_FALSE(heard.value_si);
        REQUIRE(heard.mind.size() == 1);
        CHECK(heard.mind.front().find(words) != std::string::npos);
    }
}

TEST_CASE("plausible: said beside the figure, never in its way") {
    const double per_minute = litres_per_minute.si_per_unit;
    const auto words = [&](double value) {
        return plausible_words(Figure::flow, value * per_minute, per_minute, 40 * per_minute, 60 * per_minute, Units::metric);
    };
    CHECK(words(50) == "As expected here: 40 to 60 L/min.");
    CHECK(words(39) == "As expected here: 40 to 60 L/min.");
    CHECK(words(30) == "Below what is expected here, 40 to 60 L/min. That may be the fault itself.");
    CHECK(words(130).find("Far above") == 0);
}

TEST_CASE("the pad counts every touch at its own time, 180 a minute and faster, and nothing else hears them") {
    kit::Kit kit(embedded_regular(), embedded_bold());
    kit.set_size(412, 915, 6.3f, 1.0f);
    std::vector<double> struck;
    int fired = 0;
    Hand hand{kit, [&] {
                  kit.begin_screen("pad", "Pad");
                  kit.main();
                  for (const double at : kit.pad("tap", "Tap here")) struck.push_back(at);
                  kit.bar();
                  if (kit.bar_button("use", "Use", kit::Slot::right)) ++fired;
                  kit.end_screen();
              }};
    hand.settle();
    const kit::Box box = hand.box("tap");
    CHECK(box.h > kit.metrics().mm(60)); // the whole of the screen that is left
    CHECK(kit.on_pad(box.x + 5, box.y + 5));
    CHECK_FALSE(kit.on_pad(box.x + 5, box.y + box.h + 5));
    // A frame every 100 ms only; three touches in one of them.
    std::vector<double> given;
    for (int i = 0; i < 40; ++i) {
        kit::Input input;
        const double at = hand.seconds - 0.05 + 0.001 * i;
        input.strikes = {at};
        if (i % 10 == 0) input.strikes = {at, at + 0.02, at + 0.04};
        given.insert(given.end(), input.strikes.begin(), input.strikes.end());
        hand.frame(input);
        hand.seconds += 0.1;
    }
    CHECK(struck == given);
    CHECK(fired == 0);
    hand.tap("use"); // the screen is not deaf after the last strike
    CHECK(fired == 1);
    // A pointer that the platform let through counts once, where it comes down.
    struck.clear();
    hand.tap("tap");
    CHECK(struck.size() == 1);
    kit.press("tap");
    hand.frame({});
    CHECK(struck.size() == 2);
}

TEST_CASE("the keys find the pad, and strike it") {
    kit::Kit kit(embedded_regular(), embedded_bold());
    kit.set_size(412, 915, 6.3f, 1.0f);
    std::size_t struck = 0;
    Hand hand{kit, [&] {
                  kit.begin_screen("pad", "Pad");
                  kit.main();
                  struck += kit.pad("tap", "Tap here").size();
                  kit.bar();
                  (void)kit.bar_button("use", "Use", kit::Slot::right);
                  kit.end_screen();
              }};
    hand.settle();
    CHECK(kit.strikes_pad(' '));
    CHECK_FALSE(kit.strikes_pad('\r'));
    CHECK(kit.move_focus(1));
    CHECK(kit.focus() == "tap");
    CHECK(kit.strikes_pad('\r'));
    CHECK(kit.press_key('\r'));
    hand.frame({});
    CHECK(struck == 1);
    CHECK(kit.move_focus(1));
    CHECK(kit.focus() == "use");
}

TEST_CASE("what the taps come to is one figure, whether its beat is known already or not") {
    MeasuringOnScreen now;
    now.way = Way::tapped;
    for (int i = 0; i < 14; ++i) now.struck.push_back(100 + i * 1.2 + (i % 3) * 0.01);
    const MeasuredFigure made = figure_of(beat_of_taps(now.struck)), anew = figure_of(now, Units::metric);
    REQUIRE(made.value_si.has_value());
    CHECK(made.value_si == anew.value_si);
    CHECK(made.error_si == anew.error_si);
    CHECK(made.ready == anew.ready);
    CHECK(made.good == anew.good);
    CHECK(made.mind == anew.mind);
}

TEST_CASE("the filters of the pointer would lose a fast beat: that is why the pad does not go through them") {
    PointerFeed feed(6.3f);
    int downs = 0;
    for (int i = 0; i < 12; ++i) { // 300 a minute on one spot, by a hand that does not strike evenly
        const double at = 10 + i * 0.2 + (i % 2 == 0 ? 0.05 : 0.0);
        feed.hear({Contact::down, 1, 200, 600, at});
        feed.hear({Contact::up, 1, 200, 600, at + 0.06});
        bool before = false;
        while (feed.pending()) {
            const bool down = feed.next(at + 0.1).down;
            downs += down && !before ? 1 : 0;
            before = down;
        }
    }
    CHECK(downs < 12);
}

} // namespace beckhand
