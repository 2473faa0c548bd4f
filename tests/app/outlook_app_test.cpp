// The virtual pump beside the screens: worked out in slices, left when the screen is left, and what the proof
// is held against.
#include <memory>
#include <string>

#include <doctest/doctest.h>

#include "app/app.h"
#include "app/site/outlook_words.h"
#include "tests/support/shipped_pack.h"

namespace beckhand {
namespace {

struct Bench {
    Store store;
    std::int64_t now = 1'764'072'000'000;
    std::uint8_t ids = 0;
    std::unique_ptr<App> app;

    Bench() : store(std::move(*Store::open(":memory:"))) {
        app = std::make_unique<App>(tests::shipped_pack(), Services{&store, [this] { return Instant{now += 60'000}; },
                                                                    [this] {
                                                                        std::array<std::uint8_t, 16> bytes{};
                                                                        bytes[0] = ++ids;
                                                                        return bytes;
                                                                    }});
        app->start();
    }
    const OutlookOnScreen& outlook() const { return app->state().outlook; }
    void add_site() {
        app->act(EditSite{});
        app->act(EditText{"name", "Alder bank"});
        const std::pair<const char*, const char*> figures[] = {{"fall_m", "2"},           {"lift_m", "14"},
                                                               {"drive_length_m", "14"},  {"drive_bore_mm", "52.5"},
                                                               {"source_flow_lpm", "60"}, {"delivery_bore_mm", "26"}};
        for (const auto& [key, text] : figures) {
            app->act(EditField{key});
            for (const char* c = text; *c != 0; ++c) app->act(Press{kit::KeypadPress::digit, *c});
            app->act(Press{kit::KeypadPress::accept, 0});
        }
        app->act(SaveDraft{});
    }
    void finish_work() {
        while (app->work()) {}
    }
};

} // namespace

TEST_CASE("the site sheet works out the virtual pump in slices, and then rests") {
    Bench bench;
    CHECK(!bench.app->work()); // the list of sites has nothing to work out
    bench.add_site();
    REQUIRE(bench.app->work());
    CHECK(!bench.outlook().result.has_value());
    CHECK(bench.outlook().steps > 5);
    CHECK(bench.outlook().done == 0); // a slice is itself done in parts, so that a finger need not wait
    for (int parts = 0; bench.outlook().done == 0 && parts < 10000; ++parts) REQUIRE(bench.app->work());
    CHECK(bench.outlook().done == 1);
    CHECK(!bench.outlook().result.has_value());
    bench.finish_work();
    REQUIRE(bench.outlook().found() != nullptr);
    CHECK(bench.outlook().found()->sound.has_value());
    CHECK(bench.outlook().found()->best.has_value());
    CHECK(!bench.app->work());
}

TEST_CASE("leaving the sheet leaves the work off, coming back begins it anew") {
    Bench bench;
    bench.add_site();
    const std::string site = bench.app->state().site_id;
    CHECK(bench.app->work());
    bench.app->act(Show{Screen::sites});
    CHECK(!bench.app->work());
    bench.app->act(ShowSite{site});
    CHECK(bench.app->work());
    bench.finish_work();
    CHECK(bench.outlook().found() != nullptr);
}

TEST_CASE("a changed figure is worked out anew, a changed name is not") {
    Bench bench;
    bench.add_site();
    bench.finish_work();
    const std::string key = bench.outlook().key;
    bench.app->act(EditSite{bench.app->state().site_id});
    bench.app->act(EditText{"name", "Alder bank, lower"});
    bench.app->act(SaveDraft{});
    CHECK(!bench.app->work());
    bench.app->act(EditSite{bench.app->state().site_id});
    bench.app->act(EditField{"lift_m"});
    for (const char c : std::string("\b\b20")) {
        bench.app->act(c == '\b' ? Press{kit::KeypadPress::erase, 0} : Press{kit::KeypadPress::digit, c});
    }
    bench.app->act(Press{kit::KeypadPress::accept, 0});
    bench.app->act(SaveDraft{});
    CHECK(bench.app->work());
    CHECK(bench.outlook().key != key);
}

TEST_CASE("a visit's proof is held against the virtual pump of its site, where there is no healthy record") {
    Bench bench;
    bench.add_site();
    bench.app->act(StartVisit{bench.app->state().site_id});
    const Expectation tables = bench.app->state().scene.expected;
    bench.finish_work();
    const Expectation with = bench.app->state().scene.expected;
    REQUIRE(tables.delivered.has_value());
    REQUIRE(with.delivered.has_value());
    CHECK(with.delivered->basis.find("virtual pump") != std::string::npos);
    CHECK(with.delivered->likely == bench.outlook().found()->sound->delivered.likely);
    // The next answer keeps it, and a program started anew comes to the same.
    bench.app->act(Say{Began{}});
    CHECK(bench.app->state().scene.expected.delivered->likely == with.delivered->likely);
}

TEST_CASE("the words about an effect name the change, what comes of it and what it was") {
    const Result<Outlook> outlook = [] {
        Site site;
        site.fall = metres(2);
        site.lift = metres(14);
        site.drive_length = metres(14);
        site.drive_bore = millimetres(52.5);
        return outlook_for(site);
    }();
    REQUIRE(outlook.has_value());
    const LimitEffect* const length = effect_of(*outlook, "drive_length_by_fall");
    REQUIRE(length != nullptr);
    const std::string metric = effect_words(*length, Units::metric), us = effect_words(*length, Units::us);
    CHECK(metric.find("With a drive pipe of 4 m: ") == 0);
    CHECK(metric.find(", instead of " + run_words(length->now, Units::metric)) != std::string::npos);
    CHECK(us.find("With a drive pipe of 13.1 ft: ") == 0);
    const LimitEffect* const fall = effect_of(*outlook, "fall_least");
    REQUIRE(fall != nullptr);
    CHECK(effect_words(*fall, Units::metric).find("waste valve") != std::string::npos);
}

} // namespace beckhand
