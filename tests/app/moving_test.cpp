// What moves on the screen: for twenty seconds or until a tap, twenty frames a second at most, none at rest. And the
// beat that the drawing of the installation follows.
#include "tests/app/kit_audit.h"

#include <cmath>
#include <numbers>

#include "app/kit/installation.h"
#include "app/kit/moving.h"
#include "engine/hydraulics/ram_cycle.h"
#include "engine/pump/pump.h"

using namespace beckhand;
using namespace beckhand::kit;

namespace {

struct MovingQuestion {
    Kit kit{embedded_regular(), embedded_bold()};
    std::string question = "What is the waste valve doing?";
    std::string pressed;
    std::optional<double> moved;
    Hand hand{kit, [this] {
                  kit.begin_screen("question", "Spring Meadow");
                  kit.main();
                  kit.words(Type::question, question);
                  moved.reset();
                  for (const char* const id : {"a1", "a2"}) {
                      if (kit.drawn_answer(id, "Beating", [this](const Box&) { moved = kit.moving(); })) pressed += id;
                  }
                  kit.end_screen();
              }};
    explicit MovingQuestion(bool may = true) {
        set_glass(kit, phone);
        kit.let_move(may);
        hand.settle();
    }
    void pass(double time) {
        hand.seconds += time;
        hand.settle();
    }
};

Site usual_site() {
    Site site;
    site.fall = metres(2);
    site.lift = metres(14);
    site.drive_length = metres(12);
    site.drive_bore = millimetres(52.5);
    return site;
}

} // namespace

TEST_CASE("nothing moves until the platform lets it, and no frame is asked for") {
    MovingQuestion question(false);
    CHECK_FALSE(question.moved.has_value());
    CHECK_FALSE(question.kit.wake().has_value());
}

TEST_CASE("a drawing asks for twenty frames a second, stands still after twenty seconds, and then asks for none") {
    MovingQuestion question;
    REQUIRE(question.moved.has_value());
    REQUIRE(question.kit.wake().has_value());
    CHECK(*question.kit.wake() == doctest::Approx(1.0 / 20.0));
    int frames = 0;
    for (const double from = question.hand.seconds; question.kit.wake().has_value() && frames < 1000; ++frames) {
        question.hand.seconds += *question.kit.wake() - 1.0 / 60.0; // the hand's own frame takes the rest
        question.hand.frame({});
        CHECK(question.hand.seconds - from < 20.2);
    }
    CHECK(frames <= 20 * 20 + 1);
    CHECK_FALSE(question.moved.has_value());
    for (int i = 0; i < 600; ++i) { // ten seconds at rest
        question.hand.frame({});
        CHECK_FALSE(question.kit.wake().has_value());
    }
}

TEST_CASE("a tap on free ground stops what moves and starts it again; a tap on an answer only answers") {
    MovingQuestion question;
    question.pass(3);
    REQUIRE(question.moved.has_value());
    const float x = 200, y = 780; // below the answers
    question.hand.tap_at(x, y);
    CHECK_FALSE(question.moved.has_value());
    CHECK_FALSE(question.kit.wake().has_value());
    question.pass(5);
    CHECK_FALSE(question.moved.has_value());
    question.hand.tap_at(x, y);
    CHECK(question.moved.has_value());
    CHECK(question.pressed.empty());
    question.hand.tap("a2");
    CHECK(question.pressed == "a2");
    CHECK(question.moved.has_value());
}

TEST_CASE("another question moves from its start") {
    MovingQuestion question;
    question.pass(25);
    CHECK_FALSE(question.moved.has_value());
    question.question = "What covers the strainer?";
    question.hand.settle();
    REQUIRE(question.moved.has_value());
    CHECK(*question.moved < 0.5);
}

TEST_CASE("an answer with a drawing is as high as one without, and its words keep their size") {
    for (const Glass& glass : {phone, small_phone, tablet}) {
        CAPTURE(glass.name);
        Kit kit(embedded_regular(), embedded_bold());
        set_glass(kit, glass);
        Box drawn;
        Hand hand{kit, [&] {
                      kit.begin_screen("question", "Spring Meadow", "4 asked");
                      kit.main();
                      kit.words(Type::question, "What does the strainer at the intake look like?");
                      for (const std::string& answer : four) {
                          (void)kit.drawn_answer(answer, answer, [&](const Box& box) { drawn = box; });
                      }
                      kit.bar();
                      (void)kit.bar_button("back", "Back", Slot::left);
                      kit.end_screen();
                  }};
        hand.settle();
        audit(kit, glass);
        CHECK(drawn.w / glass.px_per_mm == doctest::Approx(17.0f)); // our choice: two thirds of a thumb's width
        CHECK(drawn.h / glass.px_per_mm >= 13.0f);
        const Box last = hand.box(four.back());
        CHECK(drawn.x > last.x);
        CHECK(drawn.x + drawn.w < last.x + last.w / 2.0f);
        CHECK(drawn.y >= last.y);
        CHECK(drawn.y + drawn.h <= last.y + last.h);
    }
}

TEST_CASE("the beat that is drawn is the last one of the virtual pump") {
    const Result<PumpDesign> design = design_for(usual_site());
    REQUIRE(design);
    const std::optional<OneBeat> beat = one_beat(*design);
    REQUIRE(beat.has_value());
    CHECK(beat->by_pump);
    const PumpRun run = simulate(*design);
    CHECK(1.0 / beat->period.in(seconds) == doctest::Approx(run.beat.in(hertz)).epsilon(0.03));
    CHECK(beat->moments.front().valve < 0.05); // it has just shut
    double mean = 0, most_open = 0;
    for (const BeatMoment& moment : beat->moments) {
        mean += moment.speed_m_s / static_cast<double>(OneBeat::steps);
        most_open = std::max(most_open, moment.valve);
        for (const double share : {moment.valve, moment.pressed, moment.check, moment.vessel, moment.delivery}) {
            CHECK(share >= 0.0);
            CHECK(share <= 1.0);
        }
    }
    CHECK(most_open == doctest::Approx(1.0));
    const double area = std::numbers::pi / 4 * design->drive.bore_m * design->drive.bore_m;
    CHECK(mean * area == doctest::Approx(run.drive.in(cubic_metres_per_second)).epsilon(0.1));
    CHECK(beat->at(0.25).speed_m_s == doctest::Approx(beat->moments[OneBeat::steps / 4].speed_m_s));
    CHECK(beat->at(1.25).valve == beat->at(0.25).valve);
}

TEST_CASE("a pump that rests has no beat") {
    Result<PumpDesign> design = design_for(usual_site());
    REQUIRE(design);
    design->waste_valve.debris_gap_m = design->waste_valve.travel_m;
    CHECK_FALSE(one_beat(*design).has_value());
}

TEST_CASE("until the virtual pump has run the beat follows the ideal one's formulas") {
    const Result<PumpDesign> design = design_for(usual_site());
    REQUIRE(design);
    const std::optional<OneBeat> beat = beat_by_formulas(*design);
    REQUIRE(beat.has_value());
    CHECK_FALSE(beat->by_pump);
    double fastest = 0;
    std::size_t opened = OneBeat::steps;
    for (std::size_t i = 0; i < OneBeat::steps; ++i) {
        fastest = std::max(fastest, beat->moments[i].speed_m_s);
        if (beat->moments[i].valve > 0.5)
            opened = std::min(opened, i);
    }
    CHECK(fastest == doctest::Approx(closing_speed(*design)).epsilon(0.03));
    // Delivery takes v L / (g (h - H)): 12 m of pipe, 12 m more lift than fall (Krol 1951's rigid column).
    const double deliver = closing_speed(*design) * 12.0 / (g_si * 12.0);
    CHECK(static_cast<double>(opened) / OneBeat::steps == doctest::Approx(deliver / beat->period.in(seconds)).epsilon(0.2));
    CHECK(beat->moments[opened].speed_m_s < 0.1 * fastest); // the water begins anew from rest
}

TEST_CASE("a beat is slowed to about four seconds, and the water runs as far as its speed says") {
    OneBeat beat;
    beat.period = seconds(0.8);
    for (BeatMoment& moment : beat.moments)
        moment.speed_m_s = 1.5;
    CHECK(times_slower(beat) == 5);
    const Motion motion = motion_at(beat, 10.0);
    CHECK(motion.slower == 5);
    CHECK(motion.run == doctest::Approx(1.5 * 10.0 / 5));
    CHECK(motion.pulses == doctest::Approx(2.5));
    CHECK(motion.share == doctest::Approx(0.5));
    beat.period = seconds(6.0);
    CHECK(times_slower(beat) == 1);
}

TEST_CASE("the drawing says how its two scales stand to each other") {
    Site site = usual_site();
    site.lift = metres(4);
    site.delivery_length = metres(13);
    const Section s = section_of(site);
    REQUIRE(s.heights_true);
    REQUIRE(s.lengths_true);
    const auto wide = static_cast<float>(s.width * 10), tall = static_cast<float>((s.top - s.bottom) * 10);
    CHECK(scale_words(s, wide, tall) == "to scale");
    CHECK(scale_words(s, wide, 2 * tall) == "heights 2.0 times larger");
    CHECK(scale_words(s, 3 * wide, tall) == "lengths 3.0 times larger");
    site.lift = metres(40);
    CHECK(scale_words(section_of(site), wide, tall) == "not to scale");
}
