// A small search: every setting of a grid is run, the best that the source can feed is kept.
#include "engine/pump/advice.h"

#include "engine/pump/ensemble.h"

namespace beckhand {

std::vector<SettingTry> settings_to_try(const PumpDesign& design) {
    std::vector<SettingTry> tries;
    for (const double travel : {0.4, 0.55, 0.7, 0.85, 1.0, 1.15, 1.3}) {
        for (const double share : {0.35, 0.45, 0.55, 0.65, 0.75, 0.82, 0.88, 0.93}) {
            SettingTry one{design, share};
            one.design.header.source_m3s = 0; // the search asks what the pump would take
            one.design.waste_valve.travel_m *= travel;
            load_valve(one.design, share);
            tries.push_back(one);
        }
    }
    return tries;
}

std::optional<Setting> best_of(const std::vector<SettingTry>& tries, const std::vector<PumpRun>& runs,
                               FlowRate source) {
    std::optional<Setting> best;
    for (std::size_t i = 0; i < tries.size(); ++i) {
        const PumpRun& r = runs[i];
        if (r.rest != ValveRest::runs || r.beat_unsteadiness > 0.1 || r.drive > source)
            continue;
        const WasteValve& valve = tries[i].design.waste_valve;
        const Setting s{.travel = metres(valve.travel_m),
                        .load = kilograms(valve.weight_n / g_si),
                        .closing_share = tries[i].closing_share,
                        .drive = r.drive,
                        .delivered = r.delivered,
                        .beat = r.beat,
                        .efficiency = r.efficiency};
        if (!best || s.delivered > best->delivered ||
            (s.delivered == best->delivered && s.beat > best->beat)) {
            best = s;
        }
    }
    return best;
}

std::optional<Setting> best_setting(const PumpDesign& design, FlowRate source) {
    const std::vector<SettingTry> tries = settings_to_try(design);
    std::vector<PumpDesign> designs;
    for (const SettingTry& one : tries)
        designs.push_back(one.design);
    const std::vector<PumpRun> runs =
        simulate_many(designs, {.seconds = 40, .warm_up_seconds = 15, .reaches = 16, .hand_beats = 3});
    return best_of(tries, runs, source);
}

} // namespace beckhand
