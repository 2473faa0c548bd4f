#include "app/site/outlook_words.h"

#include <algorithm>
#include <cmath>

namespace beckhand {
namespace {

constexpr double alike = 0.05; // settings closer than this are the same for a person with a spanner

std::string swing_words(const PumpRun& run, Units units) {
    return ", the needle between " + format_number(Figure::pressure, std::max(0.0, run.vessel_low.si()), units) + " and " +
           format_pressure(run.vessel_high, units);
}

std::string percent(double share) { return significant_text(100 * share, 2) + " %"; }

std::string mass_text(Mass mass, Units units) {
    return units == Units::us ? significant_text(mass.in(pounds), 2) + " lb" : significant_text(mass.in(kilograms), 2) + " kg";
}

/// "a quarter more", as a change from 1; empty when nobody could set the difference.
std::string change_words(double ratio, const char* more, const char* less) {
    if (std::fabs(ratio - 1) < alike) return "";
    return percent(std::fabs(ratio - 1)) + " " + (ratio > 1 ? more : less);
}

} // namespace

std::string run_words(const PumpRun& run, Units units) {
    if (run.rest == ValveRest::runs) {
        const bool nothing = run.delivered < litres_per_minute(0.005);
        return (nothing ? "nothing delivered" : format_flow(run.delivered, units)) + " at " + format_beat(run.beat, units) +
               (run.beat_unsteadiness > 0.1 ? ", uneven" : "");
    }
    const std::string rest = run.rest == ValveRest::open ? "open" : "shut";
    return run.beats == 0 ? "it does not start: the waste valve stays " + rest
                          : "it stops with the waste valve " + rest;
}

std::string effect_words(const LimitEffect& effect, Units units) {
    const LimitChange& change = effect.change;
    const bool vessel = change.limit == "vessel_volume";
    const auto words = [&](const PumpRun& run) {
        const bool runs = run.rest == ValveRest::runs;
        return run_words(run, units) + (vessel && runs ? swing_words(run, units) : "");
    };
    std::string with = change.thing;
    if (change.value) {
        const bool comma = with.back() == ',';
        if (comma) with.pop_back();
        with += (comma ? ", " : " of ") + format_figure(change.kind, *change.value, units);
    } else if (with.back() == ',') {
        with.pop_back();
    }
    return "With " + with + (change.puts_right ? " and the valve set anew: " : ": ") + words(effect.then) +
           ", instead of " + words(effect.now) + ".";
}

const LimitEffect* effect_of(const Outlook& outlook, std::string_view limit) {
    for (const LimitEffect& effect : outlook.limits) {
        if (effect.change.limit == limit) return &effect;
    }
    return nullptr;
}

std::vector<std::string> reliance_words(const Site& site, const Outlook& outlook, Units units) {
    std::vector<std::string> words;
    if (!outlook.sound) {
        words.emplace_back("The virtual pump does not beat at this site: of the pumps drawn not one runs by itself. "
                           "See the limits below.");
    } else if (outlook.sound->running < outlook.sound->drawn) {
        words.push_back("Of " + std::to_string(outlook.sound->drawn) + " virtual pumps drawn for this site " +
                        std::to_string(outlook.sound->running) + " beat by themselves: the setting has little to spare.");
    }
    if (outlook.match == Match::matched) {
        std::string agrees = "The virtual pump is set to the healthy record by its waste valve";
        if (outlook.now && site.record.delivered) {
            agrees += "; it then lifts " + format_flow(outlook.now->delivered, units) + " where the record has " +
                      format_flow(*site.record.delivered, units);
        }
        words.push_back(agrees + ".");
    } else if (outlook.match == Match::out_of_reach) {
        words.emplace_back("No setting of the waste valve gives the healthy record with the figures on this sheet: "
                           "measure fall, drive pipe and record again.");
    }
    for (const std::string& reason : outlook.doubtful) {
        words.push_back("The virtual pump is not relied on: " + reason + ". The old tables stand.");
    }
    return words;
}

std::vector<std::string> setting_words(const Outlook& outlook, Units units) {
    std::vector<std::string> words;
    if (!outlook.best) return words;
    const Setting& best = *outlook.best;
    const std::string gives = format_flow(best.delivered, units) + " from " + format_flow(best.drive, units) + ", " +
                              format_beat(best.beat, units);
    if (!outlook.now) {
        words.push_back("Travel " + format_bore(best.travel, units) + " and " + mass_text(best.load, units) +
                        " pulling it open under water would give " + gives + ".");
        return words;
    }
    const std::string travel = change_words(best.travel / outlook.now->travel, "more travel", "less travel");
    const std::string load = change_words(best.load / outlook.now->load, "more weight", "less weight");
    const bool better = best.delivered > outlook.now->delivered * (1 + alike);
    if (!better || (travel.empty() && load.empty())) {
        words.emplace_back("The setting it has is as good as any here for the water the source gives.");
    } else {
        words.push_back("Most is lifted with " + (travel.empty() ? load : load.empty() ? travel : travel + " and " + load) +
                        " than now: " + gives + ", instead of " + format_flow(outlook.now->delivered, units) + ".");
    }
    words.push_back("For a plain disc of usual size that is a travel of " + format_bore(best.travel, units) + " and " +
                    mass_text(best.load, units) + " under water. Change one thing at a time, a turn at a time, and measure.");
    return words;
}

} // namespace beckhand
