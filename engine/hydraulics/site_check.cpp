// Published limits of a ram's site, walked from the source to the tank: this file holds the pump's own and
// puts the stretches together; the drive and delivery pipes have a file each.
#include <cmath>
#include <utility>

#include "engine/hydraulics/intake_flow.h"
#include "engine/hydraulics/ram_cycle.h"
#include "engine/hydraulics/site_check_parts.h"
#include "engine/hydraulics/wave_speed.h"
#include "engine/quantity/text.h"

namespace beckhand {

namespace {

Limit fall_limit(const Site& site, const Wording& say) {
    Limit limit{.id = "fall_least",
                .name = "Fall",
                .found = "fall not known",
                .wanted = "at least " + say.m(metres(1)) + ", better " + say.m(metres(1.5)) + " or more; " + say.m(metres(0.5)) +
                          " is the least that works",
                .at_the_pump =
                    "It dies with the waste valve open after a hand start, the kick is weak, the beat slow.",
                .cause = "fall_small",
                .source =
                    "0.4-0.5 m works, 1.5-3 m preferred: Sanitary Plumbing Questions and Answers (US, about "
                    "1910); at least 0.9 m: US handbook reprint; 1 m: Univ. Micaela Bastidas note"};
    if (!site.fall) {
        return limit;
    }
    const double h = site.fall->in(metres);
    limit.found = say.m(*site.fall);
    limit.state = h >= 1.0 ? LimitState::kept : h >= 0.45 ? LimitState::near : LimitState::broken;
    if (limit.state != LimitState::kept) {
        limit.by_how_much =
            say.m(metres(1.0 - h)) + " short of " + say.m(metres(1)) + ": raise the water at the intake or set the pump lower";
    }
    return limit;
}

Limit lift_ratio_limit(const Site& site, const Wording& say) {
    Limit limit{
        .id = "lift_by_fall",
        .name = "Lift against fall",
        .found = "lift or fall not known",
        .wanted = "2 to 20 times the fall; up to 25 possible with little delivered",
        .at_the_pump = "It beats steadily and firmly but little or nothing comes out at the tank.",
        .cause = "lift_high",
        .source =
            "Building Trades Pocketbook table (US, about 1900): 14 % yield at 20, none at 26; lift ratio "
            "4 to 30: US handbook reprint and Ogden 1911; lower end: common practice"};
    const auto fall = known(site.fall), lift = known(site.lift);
    if (!fall || !lift) {
        return limit;
    }
    const double ratio = *lift / *fall;
    limit.found = times(ratio, "the fall");
    if (ratio <= 2) {
        limit.cause = "";
        limit.state = ratio <= 1 ? LimitState::broken : LimitState::near;
        limit.at_the_pump = "A lift this small is unusual: the vessel has hardly a head to work against.";
        limit.by_how_much =
            ratio <= 1
                ? "the outlet is not above the source: water runs there by itself, or a height is wrong"
                : "less than 2 times the fall: measure both heights again";
        return limit;
    }
    limit.state = ratio > 25 ? LimitState::broken : ratio > 20 ? LimitState::near : LimitState::kept;
    if (limit.state != LimitState::kept) {
        limit.by_how_much = times(ratio - 20, "the fall") + " too high: gain " + say.m(*lift / 20 - *fall) +
                            " of fall, or bring the outlet down by " + say.m(*lift - 20 * *fall) +
                            ", or lift in two steps with two pumps";
    }
    return limit;
}

// Joukowsky's bound: a soft or wide drive pipe may not be able to strike as high as the lift at all.
Limit lift_reach_limit(const Site& site, const Wording& say) {
    Limit limit{
        .id = "lift_reach",
        .name = "Lift against the blow of the drive pipe",
        .found = "lift, fall, drive pipe bore or material not known",
        .wanted = "lift below fall + a v / g",
        .at_the_pump = "The vessel pressure stops rising below the lift: nothing arrives at the tank.",
        .cause = "lift_high",
        .source = "Joukowsky with Korteweg's wave speed; v twice the mean speed at the most drive flow"};
    const auto fall = known(site.fall), top = pumped_height(site), bore = known(site.drive_bore);
    const auto intake = bore ? intake_flow(*bore) : std::nullopt;
    if (!fall || !top || !intake || !site.drive_material) {
        return limit;
    }
    const Pipe pipe = make_pipe(Length{}, *bore, site.drive_wall.value_or(Length{}), *site.drive_material);
    const Speed wave = wave_speed(water_of(site), pipe), closing = usual_closing_speed(*bore, intake->most);
    const Length reach = highest_head(*fall, wave, closing);
    limit.found = say.m(*top) + " lift";
    limit.wanted = "lift below " + say.m(reach) + " (wave speed " + format_speed(wave, say.units) + ", " +
                   format_speed(closing, say.units) + " at closing)";
    limit.state = state_between(*top / reach, 0, 1);
    if (*site.drive_material == PipeMaterial::soft_plastic) {
        limit.cause = "drive_springy";
    }
    if (limit.state == LimitState::broken || *top > reach) {
        limit.by_how_much = say.m(*top - reach) + " too high: fit a stiffer drive pipe or bring the outlet down";
    } else if (limit.state == LimitState::near) {
        limit.by_how_much = "only " + say.m(reach - *top) + " to spare";
    }
    return limit;
}

Limit vessel_limit(const Site& site, const Wording& say, const Expectation& expectation) {
    Limit limit{
        .id = "vessel_volume",
        .name = "Air vessel",
        .found = "vessel volume not known",
        .wanted = "at least 20 times the water of one beat",
        .at_the_pump = "The gauge swings widely, the outlet spurts with each beat, joints work loose.",
        .cause = "",
        .source = "20 to 50 times the water of one beat: Watt 1975 (from memory); at least the rising pipe's "
                  "content: Eytelwein in Handbuch der Baukunde p. 748. Size is forgiving, absence is not"};
    const auto vessel = known(site.vessel_volume);
    const auto pipe = delivery_pipe(site);
    if (!expectation.delivered || !expectation.beat || expectation.delivered->likely <= FlowRate{}) {
        if (vessel) {
            limit.found = format_volume(*vessel, say.units) + "; water of one beat not known";
        }
        return limit;
    }
    const Volume beat = litres(expectation.delivered->likely.in(litres_per_minute) /
                               expectation.beat->likely.in(beats_per_minute));
    const Volume wanted = beat * 20;
    limit.wanted = "at least 20 times the water of one beat (" + format_volume(beat, say.units) +
                   "): " + format_volume(wanted, say.units);
    if (pipe) {
        limit.wanted += "; Eytelwein asks for the whole rising pipe, " +
                        format_volume(vessel_for(pipe->length, pipe->bore), say.units);
    }
    if (!vessel) {
        return limit;
    }
    limit.found = format_volume(*vessel, say.units);
    limit.state = state_between(*vessel / wanted, 1, HUGE_VAL);
    if (*vessel < wanted) {
        limit.by_how_much =
            format_volume(wanted - *vessel, say.units) + " too small: fit a taller or wider vessel";
    } else if (limit.state == LimitState::near) {
        limit.by_how_much = "just large enough";
    }
    return limit;
}

Limit snifter_limit(const Site& site, const Wording& say) {
    Limit limit{.id = "snifter_hole",
                .name = "Snifter",
                .found = "snifter hole not known",
                .wanted = "a hole of about " + format_number(Figure::bore, millimetres(1).si(), say.units) + " to " +
                          say.mm(millimetres(1.5)),
                .at_the_pump = "Too small: the air in the vessel goes and the blow hardens. Too large: water is "
                               "lost there at each beat and air comes out at the tank.",
                .source = "1 to 1.5 mm: Watt 1975 (from memory) and common practice"};
    if (!site.snifter_hole) {
        return limit;
    }
    const double mm = site.snifter_hole->in(millimetres);
    limit.found = "a hole of " + format_bore(*site.snifter_hole, say.units);
    limit.state = mm >= 1.0 && mm <= 1.6 ? LimitState::kept : mm >= 0.7 && mm <= 2.5 ? LimitState::near : LimitState::broken;
    limit.cause = mm < 1.0 ? "snifter_choked" : "snifter_passing";
    if (limit.state != LimitState::kept) {
        limit.by_how_much = (mm < 1.0 ? "drill it to about " : "bush it, or fit one with a hole of about ") + say.mm(millimetres(1.2));
    }
    return limit;
}

} // namespace

LimitState state_between(double value, double least, double most) {
    const auto by = [value](double edge) {
        return std::isfinite(edge) && std::fabs(value - edge) <= 0.1 * edge;
    };
    if (by(least) || by(most)) {
        return LimitState::near;
    }
    return value >= least && value <= most ? LimitState::kept : LimitState::broken;
}

std::string times(double ratio, const std::string& of_what) {
    return significant_text(ratio, 2) + " times " + of_what;
}

std::vector<Limit> pump_limits(const Site& site, const Wording& say, const Expectation& expectation) {
    return {fall_limit(site, say), lift_ratio_limit(site, say), lift_reach_limit(site, say),
            vessel_limit(site, say, expectation), snifter_limit(site, say)};
}

std::vector<Limit> check_site(const Site& site, Units units) {
    const Wording say{units};
    const Expectation expectation = expect(site);
    std::vector<Limit> all = source_and_drive_limits(site, say);
    for (Limit& limit : pump_limits(site, say, expectation)) {
        all.push_back(std::move(limit));
    }
    for (Limit& limit : delivery_limits(site, say, expectation)) {
        all.push_back(std::move(limit));
    }
    for (Limit& limit : all) { // a limit that is kept, or not known, points to nothing
        if (limit.state == LimitState::kept || limit.state == LimitState::unknown) {
            limit.cause.clear();
        }
    }
    return all;
}

} // namespace beckhand
