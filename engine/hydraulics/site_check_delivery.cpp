// Limits of the delivery pipe: wide enough, and rising all the way.
#include <cmath>

#include "engine/hydraulics/atmosphere.h"
#include "engine/hydraulics/friction.h"
#include "engine/hydraulics/site_check_parts.h"
#include "engine/quantity/text.h"

namespace beckhand {

namespace {

std::string percent(double share) {
    return significant_text(share * 100, 2) + " %";
}

constexpr const char* narrow_signs =
    "The pressure running stands well above the pressure stopped; it beats steadily but little arrives.";

Limit bore_limit(const Site& site, const Wording& say) {
    constexpr double least = 0.4;
    Limit limit{
        .id = "delivery_bore_by_drive",
        .name = "Delivery pipe bore against drive pipe",
        .found = "delivery or drive pipe bore not known",
        .wanted = "about half the drive pipe bore, at least 0.4 of it",
        .at_the_pump = narrow_signs,
        .cause = "delivery_narrow",
        .source = "half: Eytelwein in Handbuch der Baukunde p. 748, USDA Bulletin 57; 0.40 to 0.60 in Ogden "
                  "1911, table XI"};
    const auto delivery = known(site.delivery_bore), drive = known(site.drive_bore);
    if (!delivery || !drive) {
        return limit;
    }
    const double ratio = *delivery / *drive;
    limit.found = times(ratio, "the drive pipe bore") + " (" + say.mm(*delivery) + " on " + say.mm(*drive) + ")";
    limit.state = state_between(ratio, least, HUGE_VAL);
    if (ratio < least) {
        limit.by_how_much = say.mm(*drive * least - *delivery) + " too narrow: lay a pipe of " + say.mm(*drive / 2);
    } else if (limit.state == LimitState::near) {
        limit.by_how_much = "just wide enough";
    }
    return limit;
}

Limit friction_limit(const Site& site, const Wording& say, const Expectation& expectation) {
    Limit limit{.id = "delivery_friction",
                .name = "Friction in the delivery pipe",
                .found = "delivery pipe or delivered flow not known",
                .wanted = "under a tenth of the lift",
                .at_the_pump = narrow_signs,
                .cause = "delivery_narrow",
                .source = "Darcy-Weisbach with Colebrook for a smooth pipe at the expected delivery; the "
                          "tenth: common practice"};
    const auto pipe = delivery_pipe(site);
    const auto lift = known(site.lift);
    if (!pipe || !lift || !expectation.delivered) {
        return limit;
    }
    const KinematicViscosity nu = water_of(site).kinematic_viscosity;
    const FlowRate flow = expectation.delivered->likely;
    const Length lost = friction_head(*pipe, flow, nu);
    const double share = lost / *lift;
    const std::string loss =
        share > 10 ? "more than 10 times the lift" : say.m(lost) + ", " + percent(share) + " of the lift";
    limit.found = loss + " at " + format_flow(flow, say.units);
    limit.state = share <= 0.1 ? LimitState::kept : share <= 0.25 ? LimitState::near : LimitState::broken;
    if (limit.state != LimitState::kept) {
        limit.by_how_much = (share > 10 ? "far" : say.m(lost - *lift * 0.1)) + " too much: a bore of " +
                            say.mm(bore_for_head(*pipe, flow, *lift * 0.1, nu)) +
                            " or more brings it under a tenth";
    }
    return limit;
}

Limit summit_limit(const Site& site, const Wording& say) {
    constexpr double slack = 0.3; // m: levelled in steps, the two heights do not agree better
    Limit limit{
        .id = "delivery_summit",
        .name = "Delivery pipe rising all the way",
        .found = "summit of the delivery pipe or lift not known",
        .wanted = "no point above the outlet",
        .at_the_pump =
            "Uneven beat; the outlet surges and spits air; stopped, the line empties past the summit.",
        .cause = "summit_siphon",
        .source = "rising all the way: Warwick DTU Technical Release 11; no air pocket, air valves at high "
                  "points: Lueger/Weyrauch p. 321"};
    const auto lift = known(site.lift);
    if (!site.delivery_summit || !lift) {
        return limit;
    }
    const Length over = *site.delivery_summit - *lift;
    limit.found = "summit at " + say.m(*site.delivery_summit) + ", outlet at " + say.m(*lift);
    limit.state = over <= Length{}        ? LimitState::kept
                  : over <= metres(slack) ? LimitState::near
                                          : LimitState::broken;
    if (over > Length{}) {
        limit.by_how_much = say.m(over) +
                            " over the outlet: lay the pipe lower there, bring the outlet up, or fit an air "
                            "inlet at the summit";
        const Length deepest = deepest_suction(site.altitude.value_or(Length{}), water_of(site));
        if (over > deepest) {
            limit.by_how_much += " (deeper than any siphon, " + say.m(deepest) + ")";
        }
    }
    return limit;
}

} // namespace

std::vector<Limit> delivery_limits(const Site& site, const Wording& say, const Expectation& expectation) {
    return {bore_limit(site, say), friction_limit(site, say, expectation), summit_limit(site, say)};
}

} // namespace beckhand
