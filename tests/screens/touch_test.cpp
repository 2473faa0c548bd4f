// Whole ways through the program with a finger, or with keys alone, in its own window.
#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>

#include <SDL.h>
#include <unistd.h>

#include "app/entry.h"
#include "app/terminal/script.h"
#include "platform/desktop/embedded.h"
#include "app/terminal/demo.h"
#include "engine/records/store.h"
#include "tests/screens/driver.h"
#include "tests/support/shipped_pack.h"

using namespace beckhand;
using namespace beckhand::screens;
using tests::shipped_pack;

namespace {

const Demo& demo() {
    static const Demo one = *read_demo(std::string(embedded_demo()), "demo.toml", shipped_pack());
    return one;
}

/// Of this process so far.
double peak_mb() {
    std::ifstream status("/proc/self/status");
    for (std::string word; status >> word;) {
        double kilobytes = 0;
        if (word == "VmHWM:" && status >> kilobytes) return kilobytes / 1024.0;
    }
    return 0;
}

/// What a person presses to say this on the screen that stands there.
void press(Driver& hand, const Happening& what) {
    const Pack& pack = shipped_pack();
    const Scene& scene = hand.app().state().scene;
    if (const auto* const said = std::get_if<Answered>(&what)) {
        if (scene.stage == Stage::first_sight) {
            for (const FirstSight& sight : pack.first_sights) {
                if (sight.means.observation == said->observation && sight.means.answer == said->answer)
                    return hand.tap("answer", sight.say);
            }
        }
        const Observation& asked = pack.observations[scene.observation.value()];
        REQUIRE(asked.id == said->observation);
        for (const Answer& answer : asked.answers) {
            if (answer.id == said->answer) return hand.tap(answer.cannot ? "bar" : "answer", answer.say);
        }
    } else if (std::holds_alternative<Began>(what)) {
        if (hand.find("answer", "Something else") != nullptr) hand.tap("answer", "Something else");
        else hand.tap("action", "Go on");
    } else if (const auto* const figure = std::get_if<Measured>(&what)) {
        const std::optional<Wanted> wanted = wanted_of(hand.app().state(), pack);
        hand.type(format_number(wanted.value().kind, figure->value_si, Units::metric));
        hand.tap("action", "Save");
    } else if (std::holds_alternative<NotMeasured>(what)) {
        hand.tap("", "Cannot measure");
    } else if (std::holds_alternative<FixChosen>(what)) {
        hand.tap("", scene.stage == Stage::unchecked ? "Repair it all the same" : "Check this");
    } else if (const auto* const checked = std::get_if<Checked>(&what)) {
        const Cause& cause = pack.causes[scene.cause.value()];
        if (checked->result == CheckResult::could_not) hand.tap("bar", "Could not check");
        else hand.tap("answer", checked->result == CheckResult::yes ? cause.check.yes : cause.check.no);
    } else if (const auto* const step = std::get_if<StepTicked>(&what)) {
        // Until they were read, there are cautions on the screen and no step.
        if (step->step == 0) {
            CHECK(hand.find("tick", "1. ") == nullptr);
            CHECK(hand.find("caution", "") != nullptr);
            while (hand.find("action", "More below") != nullptr) {
                CHECK(hand.find("action", "Read, go on") == nullptr);
                hand.tap("action", "More below");
            }
            hand.tap("action", "Read, go on");
        }
        hand.tap("tick", std::to_string(step->step + 1) + ". ");
    } else if (std::holds_alternative<FixFinished>(what)) {
        hand.tap("action", "All done");
    } else if (const auto* const seen = std::get_if<ProofSeen>(&what)) {
        hand.tap("answer", seen->yes ? "Yes" : "No");
    } else if (std::holds_alternative<Judged>(what)) {
        hand.tap("action", "Go on");
    } else if (std::holds_alternative<Closed>(what)) {
        hand.hold("hold", "Close the visit", 1.4);
    } else {
        FAIL("no way to press this");
    }
}

struct Folder {
    std::filesystem::path path = std::filesystem::temp_directory_path() / ("beckhand-touch-" + std::to_string(getpid()));
    Folder() { std::filesystem::create_directories(path); }
    ~Folder() { std::filesystem::remove_all(path); }
};

} // namespace

TEST_CASE("a whole visit with the finger: from the list of sites to the proof, and it stands in the log") {
    const Folder folder;
    const std::string log = (folder.path / "log.sqlite").string();
    std::string visit_id;
    {
        Store store = *Store::open(log);
        REQUIRE(fill_log(demo(), shipped_pack(), store).has_value());
        const auto visit = std::find_if(demo().visits.begin(), demo().visits.end(), [](const DemoVisit& v) { return v.play; });
        REQUIRE(visit != demo().visits.end());
        Driver hand(shipped_pack(), store, true);
        hand.tap("row", visit->site);
        hand.tap("action", "Start visit");
        REQUIRE(hand.app().state().screen == Screen::visit);
        visit_id = hand.app().state().visit_id;
        for (int i = 0; i < 60 && !hand.app().state().scene.visit.closed; ++i) {
            const Happening what = next_or_closing(visit->file, hand.app().pack(), hand.app().state().scene);
            const std::size_t before = hand.app().state().events.size();
            press(hand, what);
            CAPTURE(i);
            REQUIRE(hand.app().state().events.size() == before + 1);
        }
        CHECK(hand.says("Closed: put right and proved"));
        hand.tap("action", "Sites");
        hand.tap("bar", "Log");
        hand.tap("row", visit->site);
        CHECK(hand.says("Proved"));
        std::printf("a whole visit: %d presses\n", hand.taps());
        if (std::getenv("BECKHAND_PEAK") != nullptr) std::printf("peak memory %.1f MB\n", peak_mb());
    }
    // Read anew from the disk: every press is there.
    Store again = *Store::open(log);
    const Visit held = fold(*again.events(visit_id));
    CHECK(held.closed == Closing::proved);
    REQUIRE_FALSE(held.attempts.empty());
    CHECK(held.attempts.back().verdict == Verdict::proved);
}

TEST_CASE("who never used it: from an empty log to the first question in five presses at most") {
    Store store = *Store::open(":memory:");
    Driver hand(shipped_pack(), store);
    hand.tap("action", "Look at a pump now");
    hand.tap("answer", "Something else");
    REQUIRE(hand.app().state().scene.stage == Stage::ask);
    CHECK(hand.find("question", "") != nullptr);
    std::printf("from an empty log to the first question: %d presses\n", hand.taps());
    CHECK(hand.taps() <= 5);
    // The pump has a name of the day, and stands in the list to be named.
    REQUIRE(hand.app().state().sites.size() == 1);
    CHECK(hand.app().state().sites.front().site.name.starts_with("Pump of "));
    // A second one on the same day gets a name of its own.
    hand.app().act(Show{Screen::sites});
    hand.app().act(StartVisit{});
    REQUIRE(hand.app().state().sites.size() == 2);
    CHECK(hand.app().state().sites[0].site.name != hand.app().state().sites[1].site.name);
}

TEST_CASE("with the keys at the side of a phone alone: a site, its visit, the first question") {
    Store store = *Store::open(":memory:");
    REQUIRE(fill_log(demo(), shipped_pack(), store).has_value());
    Driver hand(shipped_pack(), store);
    const auto choose = [&](std::string_view id) {
        for (int i = 0; i < 40 && hand.kit().focus() != id; ++i) hand.key(0, SDL_SCANCODE_VOLUMEDOWN);
        REQUIRE(hand.kit().focus() == id);
        hand.key(0, SDL_SCANCODE_VOLUMEUP, 0.7);
    };
    choose("site_" + hand.app().state().sites.front().id);
    REQUIRE(hand.app().state().screen == Screen::site_sheet);
    choose("visit");
    REQUIRE(hand.app().state().screen == Screen::visit);
    choose("something_else");
    CHECK(hand.app().state().scene.stage == Stage::ask);
    // The same with Tab and Enter; a sign typed answers as before, and takes the focus away.
    hand.key(SDLK_TAB);
    CHECK_FALSE(hand.kit().focus().empty());
    const std::size_t before = hand.app().state().events.size();
    hand.key(SDLK_1);
    CHECK(hand.app().state().events.size() == before + 1);
    CHECK(hand.kit().focus().empty());
    hand.key(SDLK_AC_BACK);
    CHECK(hand.app().state().events.size() == before + 2); // taken back: an event too
}

TEST_CASE("a hold button takes a key as long as a finger: Enter, Space, and the key at the side of a phone") {
    Store store = *Store::open(":memory:");
    REQUIRE(fill_log(demo(), shipped_pack(), store).has_value());
    for (const auto& [code, scan] : {std::pair<int, int>(SDLK_RETURN, 0), std::pair<int, int>(SDLK_SPACE, 0),
                                     std::pair<int, int>(0, SDL_SCANCODE_VOLUMEUP)}) {
        CAPTURE(code);
        Driver hand(shipped_pack(), store);
        hand.app().act(StartVisit{hand.app().state().sites.front().id});
        hand.app().act(Say{Began{}});
        hand.app().act(Unfold{Unfold::sure});
        hand.run(0.2);
        for (int i = 0; i < 40 && hand.kit().focus() != "close"; ++i) hand.key(SDLK_TAB);
        REQUIRE(hand.kit().focus() == "close");
        hand.key(code, scan, 0.7); // chooses anything else
        CHECK_FALSE(hand.app().state().scene.visit.closed);
        REQUIRE(hand.kit().focus() == "close");
        hand.key(code, scan, 1.3);
        CHECK(hand.app().state().scene.visit.closed == Closing::left_as_is);
    }
}

TEST_CASE("at rest nothing is drawn for ten seconds, on a question with its drawing too") {
    Store store = *Store::open(":memory:");
    REQUIRE(fill_log(demo(), shipped_pack(), store).has_value());
    Driver hand(shipped_pack(), store);
    hand.app().act(StartVisit{hand.app().state().sites.front().id});
    hand.app().act(Say{Began{}});
    hand.key(SDLK_TAB); // something that is heard, so that the new screen is drawn
    hand.rest();
    const long drawn = hand.frames();
    hand.run(10.0);
    CHECK(hand.frames() == drawn);
    std::printf("frames drawn in ten seconds of rest: %ld\n", hand.frames() - drawn);
}

TEST_CASE("the windowed program needs less than 100 MB over a whole visit with the virtual pump beside it") {
    // In a process of its own, which says its peak itself: what wait4 tells counts this one's memory before exec too.
    const std::string program = std::filesystem::read_symlink("/proc/self/exe");
    const std::string run = "BECKHAND_PEAK=1 '" + program + "' --test-case='a whole visit with the finger*' --minimal";
    FILE* const said = popen(run.c_str(), "r");
    REQUIRE(said != nullptr);
    double peak_mb = 0;
    std::array<char, 256> line{};
    while (std::fgets(line.data(), static_cast<int>(line.size()), said) != nullptr) {
        (void)std::sscanf(line.data(), "peak memory %lf MB", &peak_mb);
    }
    CHECK(pclose(said) == 0);
    std::printf("peak memory of the windowed program: %.1f MB\n", peak_mb);
    CHECK(peak_mb > 5);
    CHECK(peak_mb < 100);
}
