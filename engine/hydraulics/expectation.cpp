// The steady answer for a site: flows from builders' tables and the yield table, pressures from the lift and
// pipe friction, the beat from the drive pipe. The site's own healthy record goes before all of it.
#include "engine/hydraulics/expectation.h"

#include <algorithm>
#include <cmath>

#include "engine/hydraulics/friction.h"
#include "engine/hydraulics/intake_flow.h"
#include "engine/hydraulics/ram_cycle.h"
#include "engine/hydraulics/site_check_parts.h"
#include "engine/hydraulics/water.h"
#include "engine/hydraulics/yield.h"

namespace beckhand {

namespace {

// A sound pump comes back to its record within this share: a careful bucket or watch is good to 3 %, the
// source level and the valve setting move the rest (common practice).
constexpr double record_band = 0.15;

// Yield of a sound pump against the table: measured rams run from 0.6 of it (0.64 a PVC ram at lift ratio 7;
// 0.53 and 0.58 in Brunacci's shortest pipe, which is out of the length bands) to 1.4 times (1.13 KSB's
// example, 1.35 and 1.38 in Brunacci's longest pipe). At lift ratios where Eytelwein's curve goes higher,
// that is the end.
constexpr double yield_least = 0.6, yield_most = 1.4;

// A published range of the beat: Brunacci's slowest row is 23 a minute; 120 is general experience (from
// memory).
constexpr double slowest_beat = 23, fastest_beat = 120;

template <class Q>
Expected<Q> around(Q value, double band, std::string basis) {
    return {value * (1 - band), value, value * (1 + band), std::move(basis)};
}

template <class Q>
Expected<Q> from_record(Q value) {
    return around(value, record_band, "healthy record of this pump");
}

std::optional<Expected<FlowRate>> drive_flow_from_tables(const Site& site) {
    const auto bore = known(site.drive_bore) ? known(site.drive_bore) : known(site.pump_bore);
    if (!bore || (site.source_flow && *site.source_flow <= FlowRate{})) {
        return std::nullopt;
    }
    auto flow = intake_flow(*bore);
    if (!flow || !site.source_flow) {
        return flow;
    }
    const FlowRate source = *site.source_flow;
    if (source < flow->most) {
        flow->most = source;
        flow->likely = std::min(flow->likely, source);
        flow->least = std::min(flow->least, source * (1 - record_band));
        flow->basis += ", held to what the source gives";
    }
    return flow;
}

// What the yield table leaves for a drive flow, the friction of the delivery pipe counted as lift.
FlowRate delivered_by_table(const Site& site, FlowRate drive_flow, Length top, Length fall) {
    const KinematicViscosity nu = water_of(site).kinematic_viscosity;
    const auto pipe = delivery_pipe(site);
    const auto gives = [&](FlowRate q) {
        const Length raised = top + (pipe ? friction_head(*pipe, q, nu) : Length{});
        return table_yield(raised / fall).value_or(0) * drive_flow * (fall / raised);
    };
    FlowRate low, high = drive_flow * (fall / top); // the more it delivers the more friction: one crossing
    for (int i = 0; i < 60; ++i) {
        const FlowRate middle = (low + high) / 2;
        (gives(middle) > middle ? low : high) = middle;
    }
    return low;
}

Expected<FlowRate> delivered_expected(const Site& site, const Expected<FlowRate>& drive, Length top,
                                      Length fall) {
    const FlowRate likely = delivered_by_table(site, drive.likely, top, fall);
    const double table = table_yield(top / fall).value_or(0),
                 eytelwein_top = eytelwein_yield(top / fall).value_or(0);
    const FlowRate bound = drive.most * (fall / top); // no more work out than in
    const double up_by_yield = table > 0 ? std::max(yield_most, eytelwein_top / table) : 1;
    // Two independent uncertainties, yield and drive flow, combined in the logarithm.
    const double up = std::exp(std::hypot(std::log(up_by_yield), std::log(drive.most / drive.likely)));
    const double down = std::exp(-std::hypot(std::log(yield_least), std::log(drive.likely / drive.least)));
    const FlowRate best = std::max(likely * up, likely > FlowRate{} ? likely : bound * eytelwein_top);
    std::string basis =
        "yield table for the lift ratio (Building Trades Pocketbook), drive flow from " + drive.basis;
    if (delivery_pipe(site)) {
        basis += "; friction of the delivery pipe taken off";
    }
    return {likely * down, likely, std::max(likely, std::min(best, bound)), basis};
}

void expect_flows(const Site& site, Expectation& out) {
    const auto fall = known(site.fall), top = pumped_height(site);
    const bool pumps = fall && top && *top > *fall;
    const auto waste = known(site.record.waste), delivered = known(site.record.delivered);

    if (waste && delivered) {
        out.drive_flow = from_record(*waste + *delivered);
    } else if (waste && pumps) {
        const double share = table_yield(*top / *fall).value_or(0) * (*fall / *top);
        out.drive_flow =
            around(*waste / (1 - share), record_band,
                   "healthy record of the waste flow, and the yield table for the delivered part");
    } else if (!waste) {
        out.drive_flow = drive_flow_from_tables(site);
    }

    if (delivered) {
        out.delivered = from_record(*delivered);
    } else if (out.drive_flow && pumps) {
        out.delivered = delivered_expected(site, *out.drive_flow, *top, *fall);
    }

    if (waste) {
        out.waste = from_record(*waste);
    } else if (out.drive_flow && out.delivered) {
        const auto& drive = *out.drive_flow;
        const double share = 1 - std::min(out.delivered->likely / drive.likely, 1.0);
        out.waste = Expected<FlowRate>{drive.least * share, drive.likely * share, drive.most * share,
                                       "drive flow less delivered; drive flow from " + drive.basis};
    }
}

void expect_beat(const Site& site, Expectation& out) {
    const auto fall = known(site.fall);
    if (const auto beat = known(site.record.beat)) {
        out.beat = from_record(*beat);
        return;
    }
    if (!fall) {
        return;
    }
    out.beat = Expected<Frequency>{
        beats_per_minute(slowest_beat), beats_per_minute(60), beats_per_minute(fastest_beat),
        "about 60 a minute (USDA Bulletin 57, 1914); 23 the slowest measured by Brunacci"};
    const auto length = known(site.drive_length), bore = known(site.drive_bore);
    if (!length || !bore || !out.drive_flow) {
        return;
    }
    const auto usual = usual_beat(*fall, *length, *bore, out.drive_flow->likely);
    if (!usual) {
        return;
    }
    // The formula's factor of 1.5 times the drive flow's own band: a heavy setting draws more water and waits
    // longer near top speed, so the two err together.
    const double spread = 1.5 * (out.drive_flow->most / out.drive_flow->likely);
    const auto held = [](Frequency beat) {
        return std::clamp(beat, beats_per_minute(slowest_beat), beats_per_minute(fastest_beat));
    };
    const Expected<Frequency> found{held(*usual / spread), held(*usual), held(*usual * spread),
                                    "drive pipe, fall and drive flow, by the measure of Brunacci's grid"};
    if (found.least < found.most) {
        out.beat = found; // else it lies wholly outside: the published range stands
    }
}

void expect_pressures(const Site& site, Expectation& out) {
    const Water water = water_of(site);
    const auto top = pumped_height(site);
    if (top) {
        out.pressure_stopped = pressure_of_head(*top, water);
    }
    if (const auto running = known(site.record.running)) {
        out.pressure_running = from_record(*running);
        return;
    }
    if (!top) {
        return;
    }
    const Pressure stopped = *out.pressure_stopped;
    const auto pipe = delivery_pipe(site);
    if (pipe && out.delivered) {
        const auto with_friction = [&](FlowRate q) {
            return pressure_of_head(*top + friction_head(*pipe, q, water.kinematic_viscosity), water);
        };
        out.pressure_running =
            Expected<Pressure>{with_friction(out.delivered->least), with_friction(out.delivered->likely),
                               with_friction(out.delivered->most),
                               "lift, and friction of a smooth delivery pipe at the delivered flow"};
    } else {
        out.pressure_running =
            Expected<Pressure>{stopped, stopped * 1.05, stopped * 1.1,
                               "lift, and up to a tenth of it for friction (common practice)"};
    }
}

} // namespace

Water water_of(const Site& site) {
    return water_at(site.water.value_or(usual_water));
}

std::optional<Length> pumped_height(const Site& site) {
    const auto lift = known(site.lift);
    if (!lift) {
        return std::nullopt;
    }
    return std::max(*lift, site.delivery_summit.value_or(Length{}));
}

std::optional<Pipe> delivery_pipe(const Site& site) {
    const auto length = known(site.delivery_length), bore = known(site.delivery_bore);
    if (!length || !bore) {
        return std::nullopt;
    }
    // Most delivery pipes are plastic, and the site sheet does not ask; an old iron one loses more.
    return make_pipe(*length, *bore, Length{}, PipeMaterial::rigid_plastic);
}

Expectation expect(const Site& site) {
    Expectation out;
    const auto fall = known(site.fall), lift = known(site.lift);
    if (fall && lift) {
        out.lift_ratio = *lift / *fall;
        out.table_yield = table_yield(*out.lift_ratio);
    }
    expect_flows(site, out);
    expect_beat(site, out);
    expect_pressures(site, out);
    return out;
}

} // namespace beckhand
