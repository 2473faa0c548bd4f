// The program driven without a screen: what is pressed, what is saved, and where it stands afterwards.
// The store is a real one; the disk that is full is a real limit on the size of files.
#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <memory>
#include <string>

#include <sys/resource.h>
#include <unistd.h>

#include <doctest/doctest.h>

#include "app/app.h"
#include "app/log/record_text.h"
#include "tests/support/tiny_pack.h"

namespace beckhand {
namespace {

constexpr std::int64_t noon_ms = 1'764'072'000'000; // 25 Nov 2025 12:00 UTC, by `date -d @1764072000`

Pack pack_with_first_sight() {
    Pack pack = tests::tiny_pack();
    pack.first_sights.push_back({"Leaves on the strainer", {"screen_face", "matted"}});
    for (Caution& caution : pack.cautions) {
        if (caution.id == "cold_water") caution.fires_on = {{"rubber_look", "grooved"}};
    }
    pack.hash = content_hash(pack);
    return pack;
}

/// A program over a store; every look at the clock is a minute later.
struct Bench {
    Pack pack = pack_with_first_sight();
    Store store;
    Instant clock{noon_ms};
    std::uint8_t ids = 0;
    std::unique_ptr<App> app;

    explicit Bench(const std::string& path = ":memory:") : store(open_or_die(path)) { restart(); }

    static Store open_or_die(const std::string& path) {
        Result<Store> opened = Store::open(path);
        REQUIRE(opened.has_value());
        return std::move(*opened);
    }
    void restart() {
        app = std::make_unique<App>(pack, Services{&store,
                                                   [this] {
                                                       clock.ms += 60'000;
                                                       return clock;
                                                   },
                                                   [this] {
                                                       std::array<std::uint8_t, 16> bytes{};
                                                       bytes[0] = ++ids;
                                                       return bytes;
                                                   }});
        app->start();
    }
    const State& state() const { return app->state(); }
    Stage stage() const { return state().scene.stage; }
    void act(const Intent& intent) { app->act(intent); }
    void type(const std::string& text) {
        for (const char key : text) act(Press{kit::KeypadPress::digit, key});
        act(Press{kit::KeypadPress::accept, 0});
    }
    void add_site() {
        act(EditSite{});
        act(EditText{"name", "Upper spring"});
        act(EditField{"fall_m"});
        type("3.5");
        act(EditField{"beat_per_min"});
        type("60");
        act(SaveDraft{});
    }
    void start_visit() {
        add_site();
        act(StartVisit{state().site_id});
    }
    const std::string& asked() const { return pack.observations[state().scene.observation.value()].id; }
};

/// Answers whatever is asked as a matted strainer would, up to the finding.
void answer_to_the_finding(Bench& bench) {
    for (int i = 0; i < 10 && bench.stage() != Stage::finding; ++i) {
        if (bench.stage() == Stage::stop_first) {
            bench.act(Say{Heeded{bench.pack.cautions[*bench.state().scene.caution].id}});
        } else if (bench.stage() == Stage::measure) {
            bench.act(Say{NotMeasured{bench.pack.measurements[*bench.state().scene.measurement].id}});
        } else if (bench.stage() == Stage::ask) {
            const std::string& id = bench.asked();
            const std::string answer = id == "screen_face" ? "matted" : id == "beat_band" ? "slow" : "whole";
            bench.act(Say{Answered{id, answer, false}});
        }
    }
    REQUIRE(bench.stage() == Stage::finding);
}

/// To the first figure of the proof, with every step done or skipped.
void mend(Bench& bench) {
    const std::string cause = bench.pack.causes[*bench.state().scene.cause].id;
    bench.act(Say{FixChosen{cause}});
    bench.act(Say{Checked{cause, CheckResult::yes}});
    bench.act(Say{StepTicked{cause, 0, true}});
    bench.act(Say{StepTicked{cause, 1, false}});
    bench.act(Say{FixFinished{cause}});
}

} // namespace

TEST_CASE("a site is typed in, saved and read back in SI") {
    Bench bench;
    bench.add_site();
    REQUIRE(bench.state().screen == Screen::site_sheet);
    REQUIRE(bench.state().sites.size() == 1);
    CHECK(bench.state().sites[0].site.name == "Upper spring");
    CHECK(bench.state().sites[0].site.fall->si() == doctest::Approx(3.5));
    CHECK(bench.state().sites[0].site.record.beat->si() == doctest::Approx(1.0));
    const auto kept = bench.store.sites();
    REQUIRE(kept.has_value());
    CHECK(kept->size() == 1);
}

TEST_CASE("a figure is taken in the unit shown, and in the other one after its key") {
    Bench bench;
    bench.act(EditSite{});
    bench.act(SetUnits{Units::us});
    bench.act(EditField{"fall_m"});
    bench.type("10");
    CHECK(bench.state().draft.fall->si() == doctest::Approx(3.048)); // the foot is 0.3048 m by definition
    bench.act(EditField{"lift_m"});
    bench.act(Press{kit::KeypadPress::unit, 0});
    bench.type("10");
    CHECK(bench.state().draft.lift->si() == doctest::Approx(10.0));
}

TEST_CASE("a figure far out of range is refused with its range, and the entry stays") {
    Bench bench;
    bench.act(EditSite{});
    bench.act(EditField{"fall_m"});
    bench.type("4000");
    REQUIRE(bench.state().entry.has_value());
    CHECK(bench.state().entry->text == "4000");
    CHECK(bench.state().entry->trouble.find("0.1 to 100 m") != std::string::npos);
    CHECK_FALSE(bench.state().draft.fall.has_value());
}

TEST_CASE("an empty entry makes a known figure unknown again") {
    Bench bench;
    bench.add_site();
    bench.act(EditSite{bench.state().site_id});
    bench.act(EditField{"fall_m"});
    CHECK(bench.state().entry->text == "3.5");
    bench.act(Press{kit::KeypadPress::clear, 0});
    bench.act(Press{kit::KeypadPress::accept, 0});
    CHECK_FALSE(bench.state().draft.fall.has_value());
}

TEST_CASE("a site without a name is not saved and says so") {
    Bench bench;
    bench.act(EditSite{});
    bench.act(SaveDraft{});
    CHECK(bench.state().trouble.has_value());
    CHECK(bench.state().screen == Screen::site_edit);
    bench.act(ReadTrouble{});
    CHECK_FALSE(bench.state().trouble.has_value());
}

TEST_CASE("a visit runs from the first sight to a proved fix, and its record says all of it") {
    Bench bench;
    bench.start_visit();
    REQUIRE(bench.stage() == Stage::first_sight);
    bench.act(Say{Answered{"screen_face", "matted", true}});
    CHECK(bench.stage() == Stage::first_sight);
    bench.act(Say{Began{}});
    answer_to_the_finding(bench);
    REQUIRE(bench.pack.causes[*bench.state().scene.cause].id == "screen_matted");

    bench.act(Say{FixChosen{"screen_matted"}});
    CHECK(bench.stage() == Stage::check);
    bench.act(Say{Checked{"screen_matted", CheckResult::yes}});
    CHECK(bench.stage() == Stage::fix);
    bench.act(Say{StepTicked{"screen_matted", 0, true}});
    bench.act(Say{StepTicked{"screen_matted", 1, false}});
    CHECK(bench.stage() == Stage::fix);
    bench.act(Say{FixFinished{"screen_matted"}});
    REQUIRE(bench.stage() == Stage::proof_measure);
    bench.type("59");
    REQUIRE(bench.stage() == Stage::proof_look);
    bench.act(Say{ProofSeen{"screen_matted", true}});
    REQUIRE(bench.stage() == Stage::verdict);
    REQUIRE(bench.state().scene.proof->verdict == Verdict::proved);
    bench.act(Say{Judged{"screen_matted", Verdict::proved}});
    REQUIRE(bench.stage() == Stage::ended);
    bench.act(Say{Closed{Closing::proved}});
    CHECK(bench.state().scene.visit.closed == Closing::proved);

    const std::string visit = bench.state().visit_id;
    bench.act(ReadRecord{visit});
    REQUIRE(bench.state().screen == Screen::record);
    const std::vector<std::string> lines = record_lines(bench.pack, bench.state().record_events, Units::metric);
    CHECK(lines.front() == "25 Nov 2025 UTC, Upper spring. Pack 1.0.0.");
    std::string all;
    for (const std::string& line : lines) all += line + "\n";
    for (const char* const said :
         {"What covers the strainer? Leaves or weed. (told)", "Turned to: Strainer matted over.",
          "The beat quickens.", "Done: Rake the screen.", "Skipped: Start the pump by hand.", "Beat: 59 beats/min.",
          "Does it beat as it used to? Yes.", "Proved: Strainer matted over.", "Visit closed. Put right and proved."}) {
        CAPTURE(said);
        CHECK(all.find(said) != std::string::npos);
    }
    bench.act(Back{});
    CHECK(bench.state().screen == Screen::log);
    REQUIRE(bench.state().log.size() == 1);
    CHECK(bench.state().log[0].headline == "Fixed: Strainer matted over");
    CHECK(bench.state().log[0].closed == Closing::proved);
}

TEST_CASE("back asks the same question again, says what it took back, and ends at the site sheet") {
    Bench bench;
    bench.start_visit();
    bench.act(Say{Began{}});
    REQUIRE(bench.stage() == Stage::ask);
    const std::string first = bench.asked();
    const Observation& observation = *find_observation(bench.pack, first);
    bench.act(Say{Answered{first, observation.answers[0].id, false}});
    const bool moved = bench.stage() != Stage::ask || bench.asked() != first;
    CHECK(moved);
    CHECK(bench.state().undone.empty());

    bench.act(Back{});
    REQUIRE(bench.stage() == Stage::ask);
    CHECK(bench.asked() == first);
    CHECK(bench.state().undone == observation.ask + " " + observation.answers[0].say + ".");
    // Nothing is erased: the log holds the answer and its taking back.
    CHECK(bench.store.events(bench.state().visit_id)->size() == 4);

    bench.act(Back{});
    CHECK(bench.stage() == Stage::first_sight);
    bench.act(Back{});
    CHECK(bench.state().screen == Screen::site_sheet);
    const std::vector<std::string> lines = record_lines(bench.pack, bench.state().events, Units::metric);
    int taken = 0;
    for (const std::string& line : lines) taken += line.find("(taken back)") != std::string::npos ? 1 : 0;
    CHECK(taken == 2);
}

TEST_CASE("cannot tell is an answer: it is not asked again") {
    Bench bench;
    bench.start_visit();
    bench.act(Say{Began{}});
    REQUIRE(bench.stage() == Stage::ask);
    const std::string first = bench.asked();
    bench.act(Say{Answered{first, find_observation(bench.pack, first)->answers.back().id, false}});
    const bool asked_again = bench.stage() == Stage::ask && bench.asked() == first;
    CHECK_FALSE(asked_again);
    CHECK(bench.state().scene.asked == 1);
}

TEST_CASE("a figure that was asked for is kept in SI with the care taken") {
    Bench bench;
    bench.start_visit();
    bench.act(Say{Began{}});
    for (int i = 0; i < 8 && bench.stage() != Stage::measure; ++i) {
        if (bench.stage() == Stage::finding) {
            bench.act(Say{SetAside{bench.pack.causes[*bench.state().scene.cause].id, Aside::doubted}});
            continue;
        }
        const std::string id = bench.asked();
        bench.act(Say{Answered{id, find_observation(bench.pack, id)->answers.back().id, false}});
    }
    REQUIRE(bench.stage() == Stage::measure);
    bench.act(ChooseCare{Care::sloppy});
    bench.type("45");
    const auto& found = bench.state().scene.visit.as_found;
    REQUIRE(found.contains("B"));
    CHECK(found.at("B").value_si == doctest::Approx(0.75)); // 45 beats a minute
    CHECK(found.at("B").care == Care::sloppy);
}

TEST_CASE("a stop rule stands before the next question until it is heeded") {
    Bench bench;
    bench.start_visit();
    bench.act(Say{Began{}});
    bench.act(Say{Answered{"rubber_look", "grooved", false}});
    REQUIRE(bench.stage() == Stage::stop_first);
    bench.act(Say{Heeded{bench.pack.cautions[*bench.state().scene.caution].id}});
    CHECK(bench.stage() != Stage::stop_first);
}

TEST_CASE("the program goes on at the same stage after a restart") {
    Bench bench;
    const auto goes_on = [&bench](Stage stage) {
        CAPTURE(static_cast<int>(stage));
        REQUIRE(bench.stage() == stage);
        const std::string visit = bench.state().visit_id;
        const std::size_t events = bench.state().events.size();
        const auto observation = bench.state().scene.observation;
        bench.restart();
        CHECK(bench.state().screen == Screen::visit);
        CHECK(bench.state().visit_id == visit);
        CHECK(bench.state().events.size() == events);
        CHECK(bench.stage() == stage);
        CHECK(bench.state().scene.observation == observation);
    };
    bench.start_visit();
    goes_on(Stage::first_sight);
    bench.act(Say{Began{}});
    goes_on(Stage::ask);
    answer_to_the_finding(bench);
    goes_on(Stage::finding);
    mend(bench);
    goes_on(Stage::proof_measure);
    bench.act(Say{NotMeasured{"B"}});
    goes_on(Stage::proof_look);
}

TEST_CASE("choices are kept between starts") {
    Bench bench;
    bench.act(SetUnits{Units::us});
    bench.act(SetTheme{kit::Theme::dusk});
    bench.act(SetTextScale{1.25f});
    bench.act(SetBy{"MK"});
    bench.restart();
    CHECK(bench.state().units == Units::us);
    CHECK(bench.state().theme == kit::Theme::dusk);
    CHECK(bench.state().text_scale == 1.25f);
    CHECK(bench.state().by == "MK");
}

TEST_CASE("a full disk shows the trouble, keeps the question, and the answer can be pressed again") {
    namespace fs = std::filesystem;
    const fs::path folder = fs::temp_directory_path() / ("beckhand_update_test_" + std::to_string(::getpid()));
    fs::create_directories(folder);
    {
        Bench bench((folder / "log.sqlite").string());
        bench.start_visit();
        bench.act(Say{Began{}});
        REQUIRE(bench.stage() == Stage::ask);
        const std::string asked = bench.asked();
        const std::size_t events = bench.state().events.size();
        const Answered answer{asked, find_observation(bench.pack, asked)->answers[0].id, false};

        // No file may grow: what a write meets on a full disk.
        rlimit usual{};
        REQUIRE(getrlimit(RLIMIT_FSIZE, &usual) == 0);
        const auto before = std::signal(SIGXFSZ, SIG_IGN);
        rlimit full = usual;
        full.rlim_cur = 0;
        REQUIRE(setrlimit(RLIMIT_FSIZE, &full) == 0);
        bench.act(Say{answer});
        REQUIRE(setrlimit(RLIMIT_FSIZE, &usual) == 0);
        std::signal(SIGXFSZ, before);

        CHECK(bench.state().trouble.has_value());
        CHECK_FALSE(bench.state().saving);
        CHECK(bench.state().events.size() == events);
        REQUIRE(bench.stage() == Stage::ask);
        CHECK(bench.asked() == asked);

        bench.act(ReadTrouble{});
        bench.act(Say{answer});
        CHECK_FALSE(bench.state().trouble.has_value());
        CHECK(bench.state().events.size() == events + 1);
        CHECK(bench.store.events(bench.state().visit_id)->size() == events + 1);
    }
    fs::remove_all(folder);
}

} // namespace beckhand
