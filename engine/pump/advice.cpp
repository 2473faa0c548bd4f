// A small search: every setting of a grid is run, the best that the source can feed is kept.
#include "engine/pump/advice.h"

#include <vector>

#include "engine/pump/ensemble.h"

namespace beckhand {

std::optional<Setting> best_setting(const PumpDesign& design, FlowRate source) {
    std::vector<PumpDesign> tries;
    std::vector<double> shares;
    for (const double travel : {0.4, 0.55, 0.7, 0.85, 1.0, 1.15, 1.3}) {
        for (const double share : {0.35, 0.45, 0.55, 0.65, 0.75, 0.82, 0.88, 0.93}) {
            PumpDesign d = design;
            d.header.source_m3s = 0; // the search asks what the pump would take
            d.waste_valve.travel_m *= travel;
            load_valve(d, share);
            tries.push_back(d);
            shares.push_back(share);
        }
    }
    const std::vector<PumpRun> runs =
        simulate_many(tries, {.seconds = 40, .warm_up_seconds = 15, .reaches = 16, .hand_beats = 3});
    std::optional<Setting> best;
    for (std::size_t i = 0; i < runs.size(); ++i) {
        const PumpRun& r = runs[i];
        if (r.rest != ValveRest::runs || r.beat_unsteadiness > 0.1 || r.drive > source)
            continue;
        const Setting s{.travel = metres(tries[i].waste_valve.travel_m),
                        .load = kilograms(tries[i].waste_valve.weight_n / g_si),
                        .closing_share = shares[i],
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

} // namespace beckhand
