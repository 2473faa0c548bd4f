// The two copies of the time loop, and what a pump's neighbours in an ensemble may change: nothing.
#include <doctest/doctest.h>

#include <algorithm>
#include <vector>

#include "engine/pump/ensemble.h"
#include "engine/pump/paths.h"
#include "tests/support/faults.h"

using namespace beckhand;

namespace {

PumpDesign twelve_metres() {
    Site s;
    s.fall = metres(2);
    s.lift = metres(14);
    s.drive_length = metres(12);
    s.drive_bore = millimetres(52.5);
    return *design_for(s);
}

std::vector<PumpDesign> drawn(std::size_t count) {
    Dice dice(11);
    return draw_designs(twelve_metres(), usual_doubts(), count, dice);
}

void check_same_bits(const PumpRun& a, const PumpRun& b) {
    CHECK(a.beat.si() == b.beat.si());
    CHECK(a.drive.si() == b.drive.si());
    CHECK(a.waste.si() == b.waste.si());
    CHECK(a.delivered.si() == b.delivered.si());
    CHECK(a.vessel_mean.si() == b.vessel_mean.si());
    CHECK(a.vessel_high.si() == b.vessel_high.si());
    CHECK(a.body_peak.si() == b.body_peak.si());
    CHECK(a.body_low.si() == b.body_low.si());
    CHECK(a.beats == b.beats);
    CHECK(a.last_beat_s == b.last_beat_s);
    CHECK(a.book.gap() == b.book.gap());
    CHECK(a.book.stored_gain == b.book.stored_gain);
}

} // namespace

TEST_CASE("wide vectors and plain ones give one pump the same run, to the last bit") {
    if (!wide_vectors_here()) {
        MESSAGE("this machine has plain vectors only");
        return;
    }
    for (const char* cause : {"", "drive_joint_air", "check_propped", "source_lean", "vessel_flooded"}) {
        CAPTURE(cause);
        PumpDesign d = twelve_metres();
        if (*cause != 0)
            REQUIRE(tests::put_fault(d, cause, 0.6));
        for (const std::size_t reaches : {4u, 5u, 6u, 24u, 47u, 128u}) {
            CAPTURE(reaches);
            const RunOptions o{.seconds = 8, .warm_up_seconds = 1, .reaches = reaches};
            check_same_bits(simulate_plain(d, o), simulate_wide(d, o));
        }
        const RunOptions rubbed{.seconds = 8, .warm_up_seconds = 1, .unsteady_friction = true};
        check_same_bits(simulate_plain(d, rubbed), simulate_wide(d, rubbed));
    }
}

TEST_CASE("wide vectors and plain ones give an ensemble the same runs, to the last bit") {
    if (!wide_vectors_here()) {
        MESSAGE("this machine has plain vectors only");
        return;
    }
    auto designs = drawn(19); // two groups and a part of one
    REQUIRE(tests::put_fault(designs[12], "drive_joint_air", 0.6));
    for (const bool unsteady : {false, true}) {
        const RunOptions o{.seconds = 12, .warm_up_seconds = 2, .unsteady_friction = unsteady};
        const auto plain = simulate_many_by(begin_eight_plain, designs, o);
        const auto wide = simulate_many_by(begin_eight_wide, designs, o);
        REQUIRE(plain.size() == 19);
        REQUIRE(wide.size() == 19);
        for (std::size_t i = 0; i < plain.size(); ++i) {
            CAPTURE(i);
            check_same_bits(plain[i], wide[i]);
        }
    }
}

TEST_CASE("an ensemble run in parts runs the same, and no part is long") {
    const auto designs = drawn(19);
    const RunOptions o{.seconds = 30, .warm_up_seconds = 2, .reaches = ensemble_reaches};
    ManyRuns many(designs, o);
    CHECK(many.runs().empty());
    std::size_t parts = 1;
    while (many.part())
        ++parts;
    CHECK(parts > 3 * 10);
    CHECK(!many.part()); // more does no harm
    const auto whole = simulate_many(designs, o);
    REQUIRE(many.runs().size() == whole.size());
    for (std::size_t i = 0; i < whole.size(); ++i)
        check_same_bits(many.runs()[i], whole[i]);
}

TEST_CASE("a pump of an ensemble runs the same whoever its neighbours are and wherever it stands") {
    auto designs = drawn(11);
    // Little air: the vessel's pressure jumps in a step, in this pump only.
    REQUIRE(tests::put_fault(designs[3], "vessel_flooded", 0.8));
    const RunOptions o{.seconds = 20, .warm_up_seconds = 2};
    const auto runs = simulate_many(designs, o);
    auto turned = designs;
    std::reverse(turned.begin(), turned.end());
    const auto back = simulate_many(turned, o);
    for (std::size_t i = 0; i < designs.size(); ++i) {
        CAPTURE(i);
        check_same_bits(runs[i], back[designs.size() - 1 - i]);
        const auto alone = simulate_many({designs[i]}, o);
        REQUIRE(alone.size() == 1);
        check_same_bits(runs[i], alone[0]);
    }
}

TEST_CASE("the state of a run stays under a megabyte, an ensemble's too") {
    CHECK(run_state_bytes() < 1'000'000);
    CHECK(ensemble_state_bytes() < 1'000'000);
}

TEST_CASE("a trickle into a long delivery pipe is the same in single precision") {
    Site s;
    s.fall = metres(2);
    s.lift = metres(52);
    s.drive_length = metres(14);
    s.drive_bore = millimetres(52.5);
    s.delivery_length = metres(900);
    s.delivery_bore = millimetres(40);
    const PumpDesign d = *design_for(s);
    const RunOptions o{.seconds = 400, .warm_up_seconds = 30, .reaches = ensemble_reaches};
    const PumpRun alone = simulate(d, o), together = simulate_many({d}, o)[0];
    CHECK(alone.delivered.in(litres_per_minute) > 0.1);
    CHECK(together.delivered / alone.delivered == doctest::Approx(1).epsilon(0.03));
    CHECK(together.through_check / alone.through_check == doctest::Approx(1).epsilon(0.03));
}
