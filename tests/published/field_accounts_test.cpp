// Published accounts of real pumps that went wrong, played as visits: what the account tells is told, what it
// leaves out is "cannot tell", and the cause that its writer found must be among the first three. Each account
// names only a few facts, so this asks whether the program points the right way, not whether it is sure.
#include <doctest/doctest.h>

#include <algorithm>

#include "app/terminal/script.h"
#include "tests/support/shipped_pack.h"

using namespace beckhand;
using namespace beckhand::tests;

namespace {

/// Position of the cause in the belief after asking, 1 for the first.
int rank_of(const PlayedCase& played, const std::string& cause) {
    const std::vector<std::size_t>& ranked = played.scene.belief.ranked;
    const auto at = std::find_if(ranked.begin(), ranked.end(), [&](std::size_t c) {
        return c < shipped_pack().causes.size() && shipped_pack().causes[c].id == cause;
    });
    return static_cast<int>(at - ranked.begin()) + 1;
}

PlayedCase played(std::map<std::string, std::string> facts, const Site& site = {}) {
    CaseFile file;
    file.site = site;
    for (const auto& fact : facts) {
        file.first_told.push_back(fact.first);
    }
    file.answers = std::move(facts);
    return play_case(file, shipped_pack(), Model(shipped_pack()));
}

} // namespace

TEST_CASE("a Spanish village pump that stopped after a flood: rubber eaten away, stem worn") {
    // Residents' blog, Spain: stopped by wear after a flood season, rubber eaten where it met the metal.
    const auto visit = played({{"onset", "weeks_or_months"}, {"rubber_age", "never_or_unknown"},
                               {"valve_face", "grooved_or_split"}, {"before_it", "flood_or_storm"}});
    CHECK(rank_of(visit, "waste_face_worn") <= 3);
}

TEST_CASE("a mission's retuned pumps stirred old rubbish and plugged the feed pipe solid") {
    // Field engineer's blog, Haiti: retuned, drew more flow, plugged a long feed pipe.
    const auto visit = played({{"onset", "sudden"}, {"before_it", "pump_worked_on"}, {"open_flow", "none"},
                               {"drive_gate", "full_open"}, {"header_level", "spilling"}});
    CHECK(rank_of(visit, "drive_plugged") <= 3);
}

TEST_CASE("a farm's hundred metres of 5/8 inch lead pipe and a feeble flow") {
    // Farm memoir: 100 m of lead pipe no bigger than 5/8 in (15.9 mm), a feeble flow with 2 to 3 m more lift.
    const auto visit = played({{"onset", "never_right"}, {"complaint", "less_at_tank"}, {"beat_now", "steady"},
                               {"delivery_valves", "all_open"}, {"run_over_static", "large"}});
    CHECK(rank_of(visit, "delivery_narrow") <= 3);
}

TEST_CASE("an owner's delivery line that drained itself empty: a hairline crack in the check valve") {
    // Owner's blog: the line had drained, and filling it from the top showed the cracked delivery check.
    const auto visit = played({{"hold_line", "slow_drop"}, {"back_flow", "keeps_trickling"},
                               {"outlet_flow", "weaker"}, {"delivery_walk", "dry"}});
    CHECK(rank_of(visit, "check_worn") == 1);
}

TEST_CASE("an owner who cracked three or four small tanks in nine months had no air left in them") {
    // Owner's blog: 3-4 cracked small tanks in nine months of hard knocking.
    const auto visit = played({{"complaint", "noise_or_shaking"}, {"beat_sound", "sharp_crack"},
                               {"delivery_feel", "hard_thump"}, {"onset", "weeks_or_months"}, {"snifter", "none_fitted"}});
    CHECK(rank_of(visit, "vessel_flooded") == 1);
}

TEST_CASE("the tank overflow stops in a cold snap: the ram has iced") {
    // Farm blog: cold snap, the tank's overflow stops, a walk to see whether the ram still runs.
    const auto visit = played({{"onset", "sudden"}, {"before_it", "frost"}, {"complaint", "none_at_tank"},
                               {"beat_now", "stopped_open"}, {"open_flow", "trickle"}});
    CHECK(rank_of(visit, "intake_iced") == 1);
}

TEST_CASE("a new pump needs about 0.7 bar above it before it runs by itself") {
    // Clemson University Extension, hand-made ram: about 10 psi (0.7 bar) of back-pressure is needed first.
    const auto visit = played({{"before_it", "new_installation"}, {"beat_now", "stopped_shut"},
                               {"hand_start", "dies_shut"}, {"delivery_opening", "gushes_through"}});
    CHECK(rank_of(visit, "no_head_yet") == 1);
}

TEST_CASE("a drive pipe too wide for its ram stalls it, and the site sheet alone says so") {
    // Lueger and Weyrauch, Die Wasserversorgung der Staedte, p. 321: an oversized drive pipe keeps the
    // velocity too low and the ram stalls; the cure is to narrow the lower end.
    Site site;
    site.fall = metres(2);
    site.lift = metres(12);
    site.drive_length = metres(14);
    site.drive_bore = millimetres(80);
    site.pump_bore = millimetres(50);
    const auto visit = played({{"onset", "never_right"}, {"complaint", "never_worked"}}, site);
    CHECK(rank_of(visit, "drive_wide") == 1);
}

TEST_CASE("leaves in the water and a beat that died over days: the strainer, the manual's first upkeep job") {
    // VITA, village hydraulic ram manual: clear leaves and trash from the strainer first.
    const auto visit = played({{"onset", "days"}, {"water_look", "leafy_or_weedy"}, {"beat_now", "stopped_open"}});
    CHECK(rank_of(visit, "screen_matted") == 1);
}
