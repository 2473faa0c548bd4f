// Limits of the source and the drive pipe: enough water, a pipe of the right length, bore and stuff, and
// strong enough for its own blow.
#include <algorithm>
#include <cmath>

#include "engine/hydraulics/drive_shape.h"
#include "engine/hydraulics/intake_flow.h"
#include "engine/hydraulics/ram_cycle.h"
#include "engine/hydraulics/site_check_parts.h"
#include "engine/hydraulics/wave_speed.h"
#include "engine/quantity/text.h"

namespace beckhand {

namespace {

constexpr const char* short_signs =
    "Very fast, nervous beat with a light tick, low yield, waves at the intake; it never ran right.";
constexpr const char* long_signs =
    "Slow, heavy beat, or it stops with the waste valve open; it never ran right.";

Limit source_limit(const Site& site, const Wording& say) {
    Limit limit{
        .id = "source_flow",
        .name = "Source against the pump's thirst",
        .found = "source flow not known",
        .wanted = "at least the least drive flow of the pump",
        .at_the_pump =
            "The level at the intake sinks while it runs, then it gulps air and stops with the valve open.",
        .cause = "source_lean"};
    const auto bore = known(site.drive_bore) ? known(site.drive_bore) : known(site.pump_bore);
    const auto intake = bore ? intake_flow(*bore) : std::nullopt;
    std::optional<FlowRate> need;
    if (known(site.record.waste) && known(site.record.delivered)) {
        need = *site.record.waste + *site.record.delivered;
        limit.source = "healthy record of this pump: waste and delivered together";
    } else if (intake) {
        need = intake->least;
        limit.source = intake->basis;
    } else {
        limit.source = "Ogden 1911, Rural Hygiene, table XI";
    }
    if (need) {
        limit.wanted = "at least " + format_flow(*need, say.units);
    }
    if (!site.source_flow) {
        return limit;
    }
    limit.found = format_flow(*site.source_flow, say.units);
    if (!need) {
        return limit;
    }
    limit.state = state_between(*site.source_flow / *need, 1, HUGE_VAL);
    if (*site.source_flow < *need) {
        limit.by_how_much = format_flow(*need - *site.source_flow, say.units) +
                            " too little: shorten and lighten the waste valve, or fit a smaller pump";
    } else if (limit.state == LimitState::near) {
        limit.by_how_much = "only " + format_flow(*site.source_flow - *need, say.units) + " to spare";
    }
    return limit;
}

// Both length bands are said in the same words; they differ in the yardstick.
Limit length_limit(const Site& site, const Wording& say, Limit limit, std::optional<Length> yardstick, const std::string& name,
                   double least, double most) {
    const std::string of_what = "the " + name;
    limit.wanted = significant_text(least) + " to " + significant_text(most) + " times " + of_what;
    limit.found = "drive pipe length or " + name + " not known";
    const auto length = known(site.drive_length);
    if (!length || !yardstick) {
        return limit;
    }
    const double ratio = *length / *yardstick;
    limit.found = times(ratio, of_what);
    limit.state = state_between(ratio, least, most);
    const bool lower = ratio < std::sqrt(least * most);
    limit.cause = lower ? "drive_short" : "drive_long";
    limit.at_the_pump = lower ? short_signs : long_signs;
    if (ratio < least) {
        limit.by_how_much = times(least - ratio, of_what) + " too short: add " +
                            say.m(*yardstick * least - *length) + " of drive pipe or more (about " +
                            say.m(good_drive_length(site)) + " in all is usual)";
    } else if (ratio > most) {
        limit.by_how_much = times(ratio - most, of_what) + " too long: take out " +
                            say.m(*length - *yardstick * most) + ", or put an open stand pipe " +
                            say.m(good_drive_length(site)) + " from the pump";
    } else if (limit.state == LimitState::near) {
        limit.by_how_much =
            "inside by only " + say.m(lower ? *length - *yardstick * least : *yardstick * most - *length);
    }
    return limit;
}

Limit length_by_fall_limit(const Site& site, const Wording& say) {
    Limit limit{
        .id = "drive_length_by_fall",
        .name = "Drive pipe length against fall",
        .at_the_pump = short_signs,
        .source = "5 to 10, about 7: USDA Bulletin 57 (1914) p. 27; 3 to 7: encyclopedia article on the ram; "
                  "widened to 4 to 12 because sources disagree"};
    return length_limit(site, say, std::move(limit), known(site.fall), "fall", least_length_by_fall,
                        most_length_by_fall);
}

Limit length_by_bore_limit(const Site& site, const Wording& say) {
    Limit limit{
        .id = "drive_length_by_bore",
        .name = "Drive pipe length against bore",
        .at_the_pump = short_signs,
        .source = "150 to 1000: after Calvert 1957/58 (from memory); best 400 of 100 to 600 in a 51 mm ram: "
                  "Fatahi-Alkouhi et al. 2017"};
    return length_limit(site, say, std::move(limit), known(site.drive_bore), "bore", least_length_by_bore,
                        most_length_by_bore);
}

Limit stand_pipe_limit(const Site& site, const Wording& say) {
    Limit limit{.id = "stand_pipe",
                .name = "Stand pipe",
                .found = "drive pipe length or bore not known",
                .wanted = "an open stand pipe once the pipe is longer than 1000 times its bore",
                .at_the_pump = long_signs,
                .cause = "drive_long",
                .source = "Clemson University Extension ram sheets (need); place and size: common practice"};
    const auto length = known(site.drive_length), bore = known(site.drive_bore);
    if (!length || !bore) {
        return limit;
    }
    const Length most = *bore * most_length_by_bore;
    limit.found = say.m(*length) + " from intake to pump";
    limit.wanted = "no stand pipe up to " + say.m(most);
    limit.state = state_between(*length / most, 0, 1);
    if (*length > most) {
        limit.by_how_much = say.m(*length - most) + " over the maximum: put an open stand pipe " +
                            say.m(good_drive_length(site)) +
                            " from the pump, its top above the source level and its bore "
                            "one or more sizes larger than " +
                            say.mm(*bore);
    } else if (limit.state == LimitState::near) {
        limit.by_how_much = "inside by only " + say.m(most - *length);
    }
    return limit;
}

Limit bore_by_pump_limit(const Site& site, const Wording& say) {
    Limit limit{.id = "drive_bore_by_pump",
                .name = "Drive pipe bore against pump inlet",
                .found = "drive pipe or pump bore not known",
                .wanted = "0.8 to 1.25 times the pump inlet",
                .at_the_pump =
                    "Too wide: the intake is drawn down and the kick is weak. Too narrow: it dies with the "
                    "waste valve open and the intake spills.",
                .source = "drive bore as the pump inlet: common practice; too wide stalls for want of speed: "
                          "Lueger/Weyrauch p. 321"};
    const auto drive = known(site.drive_bore), pump = known(site.pump_bore);
    if (!drive || !pump) {
        return limit;
    }
    const double ratio = *drive / *pump;
    limit.found = times(ratio, "the pump inlet") + " (" + say.mm(*drive) + " on " + say.mm(*pump) + ")";
    limit.state = state_between(ratio, least_bore_by_pump, most_bore_by_pump);
    limit.cause = ratio > 1 ? "drive_wide" : ratio < 1 ? "drive_narrow" : "";
    if (ratio > most_bore_by_pump) {
        limit.by_how_much = say.mm(*drive - *pump * most_bore_by_pump) +
                            " too wide: reduce the last length before the pump, or lay a pipe of " +
                            say.mm(*pump);
    } else if (ratio < least_bore_by_pump) {
        limit.by_how_much = say.mm(*pump * least_bore_by_pump - *drive) + " too narrow: lay a pipe of " +
                            say.mm(*pump) + ", or lighten and shorten the waste valve";
    } else if (limit.state == LimitState::near) {
        limit.by_how_much = "just inside";
    }
    return limit;
}

Limit material_limit(const Site& site, const Wording& say) {
    constexpr double plastic_fall = 4.2; // m
    Limit limit{
        .id = "drive_material",
        .name = "Drive pipe material",
        .found = "drive pipe material not known",
        .wanted = "steel; thick rigid plastic up to about " + say.m(metres(plastic_fall)) + " of fall",
        .at_the_pump = "Dull thud, weak kick, the pipe swells or jumps with each beat, the yield is poor.",
        .cause = "drive_springy",
        .source =
            "Abate & Botrel 2002 (PVC better up to about 4.2 m of fall, steel above); rigid pipe: Peace "
            "Corps hydram manual 1981"};
    if (!site.drive_material) {
        return limit;
    }
    const double fall = site.fall.value_or(Length{}).in(metres);
    switch (*site.drive_material) {
    case PipeMaterial::soft_plastic:
        limit.found = "soft plastic or hose";
        limit.state = LimitState::broken;
        limit.by_how_much = "too soft: replace it with steel or thick rigid plastic, at least near the pump";
        return limit;
    case PipeMaterial::rigid_plastic:
        limit.found =
            "rigid plastic" + (known(site.fall) ? " under " + say.m(*site.fall) + " of fall" : std::string());
        limit.state = fall > plastic_fall ? LimitState::near : LimitState::kept;
        if (limit.state == LimitState::near) {
            limit.by_how_much =
                say.m(metres(fall - plastic_fall)) + " more fall than suits plastic: steel gives more here";
        }
        return limit;
    case PipeMaterial::steel:
        limit.found = "steel";
        break;
    case PipeMaterial::cast_iron:
        limit.found = "cast iron";
        break;
    case PipeMaterial::copper:
        limit.found = "copper";
        break;
    }
    limit.state = LimitState::kept;
    return limit;
}

Limit rating_limit(const Site& site, const Wording& say) {
    Limit limit{
        .id = "drive_rating",
        .name = "Drive pipe strength against its own blow",
        .found = "drive pipe rating not known",
        .wanted = "rating above the highest blow",
        .at_the_pump = "The drive pipe can split or burst, plastic in splinters: stand to one side.",
        .cause = "",
        .source =
            "highest blow = static + rho a v: Joukowsky, Korteweg's wave speed, v twice the mean speed at "
            "the most drive flow of the bore; plastic derated for warm water by the PVC pipe tables"};
    const auto bore = known(site.drive_bore);
    const auto intake = bore ? intake_flow(*bore) : std::nullopt;
    auto rating = known(site.drive_rating);
    std::optional<Pressure> blow;
    if (intake) {
        // Unknown stuff counts as steel, which carries the hardest blow.
        const PipeMaterial stuff = site.drive_material.value_or(PipeMaterial::steel);
        const Water water = water_of(site);
        const Speed wave =
            wave_speed(water, make_pipe(Length{}, *bore, site.drive_wall.value_or(Length{}), stuff));
        const Speed closing = usual_closing_speed(*bore, intake->most);
        blow = pressure_of_head(known(site.fall).value_or(Length{}), water) +
               joukowsky_pressure(water.density, wave, closing);
        limit.wanted = "above " + format_pressure(*blow, say.units) + " (" +
                       format_speed(closing, say.units) + " stopped at a wave speed of " +
                       format_speed(wave, say.units) + ")";
    }
    if (!rating) {
        return limit;
    }
    limit.found = "rated " + format_pressure(*rating, say.units);
    if (site.drive_material == PipeMaterial::rigid_plastic && site.water) {
        const double left = pvc_temperature_factor(*site.water);
        rating = *rating * left;
        if (left < 1) {
            limit.found += ", " + format_pressure(*rating, say.units) + " in water of " +
                           format_temperature(*site.water, say.units);
        }
    }
    if (!blow) {
        return limit;
    }
    limit.state = state_between(*rating / *blow, 1, HUGE_VAL);
    if (*rating < *blow) {
        limit.by_how_much =
            format_pressure(*blow - *rating, say.units) +
            " too weak: fit a pipe of a higher rating, or a shorter and lighter valve for a softer blow";
    } else if (limit.state == LimitState::near) {
        limit.by_how_much = "only " + format_pressure(*rating - *blow, say.units) + " to spare";
    }
    return limit;
}

} // namespace

Length good_drive_length(const Site& site) {
    const auto fall = known(site.fall), bore = known(site.drive_bore);
    const Length by_fall = fall ? *fall * 7 : Length{};
    if (!bore) {
        return by_fall;
    }
    const Length least = *bore * least_length_by_bore, most = *bore * most_length_by_bore;
    return fall ? std::clamp(by_fall, least, most) : *bore * 400; // best of 100..600, Fatahi-Alkouhi 2017
}

std::vector<Limit> source_and_drive_limits(const Site& site, const Wording& say) {
    return {source_limit(site, say),         stand_pipe_limit(site, say),   length_by_fall_limit(site, say),
            length_by_bore_limit(site, say), bore_by_pump_limit(site, say), material_limit(site, say),
            rating_limit(site, say)};
}

} // namespace beckhand
