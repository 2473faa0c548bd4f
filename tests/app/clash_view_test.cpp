// Two answers that cannot both be true, on the screen and in the terminal: both stand there in words, and the person
// decides. Whatever they decide, what they said is in the log.
#include <doctest/doctest.h>

#include <memory>
#include <sstream>

#include "app/app.h"
#include "app/terminal/script.h"
#include "app/terminal/visit.h"
#include "app/terminal/visit_text.h"
#include "tests/app/hand.h"
#include "tests/support/shipped_pack.h"

namespace beckhand {
namespace {

using tests::shipped_pack;

bool holds(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

/// A visit where the valve was told to rest shut, and then to let water pour.
struct Doubt {
    Store store = std::move(*Store::open(":memory:"));
    std::int64_t ms = 1'764'072'000'000;
    std::uint8_t ids = 0;
    std::unique_ptr<App> app;

    Doubt() {
        SiteRow row;
        row.id = "5b0e7d31c2f849a6b7d0e1f2a3c4d5e6";
        row.site.name = "Quillabeck";
        store.save_site(row, Instant{ms}, [](const Outcome& saved) { REQUIRE(saved.has_value()); });
        restart();
        app->act(StartVisit{row.id});
        say(Answered{"beat_now", "stopped_shut", true});
        say(Began{});
        say(Answered{"waste_splash", "sheet_all_time"});
        REQUIRE(scene().stage == Stage::clash);
    }
    void restart() {
        app = std::make_unique<App>(shipped_pack(), Services{&store, [this] { return Instant{ms += 60'000}; },
                                                             [this] {
                                                                 std::array<std::uint8_t, 16> bytes{};
                                                                 bytes[0] = ++ids;
                                                                 return bytes;
                                                             }});
        app->start();
    }
    const Scene& scene() const { return app->state().scene; }
    void say(Happening what) { app->act(Say{std::move(what)}); }
    std::size_t saved() const { return store.events(app->state().visit_id)->size(); }
    std::string type(const std::string& lines) {
        std::istringstream in(lines);
        std::ostringstream out;
        CHECK(run_terminal(*app, in, out) == 0);
        return out.str();
    }
};

const Observation& asked(const Scene& scene) { return shipped_pack().observations[scene.observation.value()]; }

TEST_CASE("both answers and the reason stand on the screen before anything else is asked") {
    for (const bool tablet : {false, true}) {
        Doubt doubt;
        CHECK(doubt.saved() == 4); // the second answer is saved, doubtful or not
        kit::Kit kit(embedded_regular(), embedded_bold());
        kit.set_size(tablet ? 1280.0f : 412.0f, tablet ? 800.0f : 915.0f, tablet ? 8.0f : 6.3f, 1.0f);
        Hand hand{kit, [&] { doubt.app->frame(kit); }};
        hand.settle();
        std::string text;
        for (const kit::Control& control : kit.controls()) text += control.label + "\n";
        CHECK(holds(text, "Still, shut and quiet"));
        CHECK(holds(text, "Pours all the time"));
        CHECK(holds(text, "A valve that rests shut lets no water pour."));
        CHECK(holds(text, "What does the waste water do?"));
        CHECK(holds(text, "I see both"));
        hand.tap("second");
        CHECK(doubt.scene().stage == Stage::ask);
        CHECK(asked(doubt.scene()).id == "waste_splash");
        CHECK(doubt.scene().before == "You said: Pours all the time.");
        hand.tap("back");
        CHECK(doubt.scene().stage == Stage::clash);
        CHECK(doubt.saved() == 4); // looking again is no answer
    }
}

TEST_CASE("either answer is corrected, or both are kept, and the visit goes on") {
    Doubt first;
    first.app->act(LookAgain{false});
    CHECK(asked(first.scene()).id == "beat_now");
    first.say(Answered{"beat_now", "stopped_open"});
    CHECK(first.scene().stage != Stage::clash);
    CHECK(first.scene().visit.answer_to("beat_now")->answer == "stopped_open");
    CHECK(first.saved() == 5);

    Doubt second;
    second.app->act(LookAgain{true});
    second.say(Answered{"waste_splash", "sheet_all_time"}); // looked, and it is so
    CHECK(second.scene().stage != Stage::clash);

    Doubt both;
    both.say(keep_both(both.scene().visit, *both.scene().clash));
    CHECK(both.scene().stage != Stage::clash);
    CHECK(both.scene().visit.answers.size() == 2);
    both.app->act(Back{});
    CHECK(both.scene().stage == Stage::clash);
}

TEST_CASE("a program that is started again stands at the same two answers") {
    Doubt doubt;
    doubt.app->act(LookAgain{true});
    doubt.restart();
    CHECK(doubt.scene().stage == Stage::clash);
    CHECK(doubt.saved() == 4);
}

TEST_CASE("the terminal tells both answers and takes the same three ways") {
    Doubt doubt;
    const std::string out = doubt.type("2\nb\n7\n1\n");
    CHECK(holds(out, "These two cannot both be true:"));
    CHECK(holds(out, "Still, shut and quiet."));
    CHECK(holds(out, "Pours all the time."));
    CHECK(holds(out, "A valve that rests shut lets no water pour."));
    CHECK(holds(out, "You said: Still, shut and quiet."));
    CHECK(holds(out, "\"7\" is not one of the answers here."));
    CHECK(doubt.scene().stage == Stage::ask); // left while looking again
    Doubt kept;
    kept.type("3\n");
    CHECK(kept.scene().stage != Stage::clash);
    CHECK(kept.saved() == 5);
}

TEST_CASE("a case file whose answers exclude each other is played to its end, with a note") {
    CaseFile file;
    file.first_told = {"beat_now", "waste_splash"};
    file.answers = {{"beat_now", "stopped_shut"}, {"waste_splash", "sheet_all_time"}};
    const PlayedCase played = play_case(file, shipped_pack(), Model(shipped_pack()));
    REQUIRE(played.notes.size() == 1);
    CHECK(holds(played.notes[0], "beat_now = stopped_shut"));
    CHECK(holds(played_text(played, shipped_pack()), "Note: Not both can be true"));
    CHECK(holds(played_json(played, shipped_pack()), "\"notes\""));
    CHECK(played.scene.stage != Stage::clash);
}

} // namespace
} // namespace beckhand
