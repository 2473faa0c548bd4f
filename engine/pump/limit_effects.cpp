#include "engine/pump/limit_effects.h"

#include <algorithm>
#include <cmath>

#include "engine/hydraulics/drive_shape.h"
#include "engine/hydraulics/intake_flow.h"
#include "engine/hydraulics/pipe.h"
#include "engine/hydraulics/site_check_parts.h"

namespace beckhand {
namespace {

/// What is tried at a site whose limit is kept, and what would put a broken one right.
struct Trial {
    const Site& site;
    const PumpDesign& sound;

    [[nodiscard]] double fall() const { return sound.header.level_m; }
    [[nodiscard]] double lift() const { return sound.delivery.lift_m; }
    [[nodiscard]] double bore() const { return sound.drive.bore_m; }
    [[nodiscard]] double pump_bore() const { return site.pump_bore ? site.pump_bore->si() : bore(); }
};

using Change = std::optional<LimitChange>;

/// The pump set anew for a site that was changed.
Change rebuilt(const Trial& t, const std::string& thing, Figure kind, std::optional<double> value,
               void (*change)(Site&, double)) {
    Site site = t.site;
    change(site, value.value_or(0));
    const Result<PumpDesign> design = design_for(site);
    if (!design)
        return std::nullopt;
    return LimitChange{.puts_right = true, .thing = thing, .kind = kind, .value = value, .design = *design};
}

/// The pump as it is set, with one figure spoilt.
template <class Spoil>
Change spoilt(const Trial& t, const std::string& thing, Figure kind, std::optional<double> value,
              const Spoil& spoil) {
    LimitChange change{.thing = thing, .kind = kind, .value = value, .design = t.sound};
    spoil(change.design, value.value_or(0));
    return change;
}

void set_drive_length(Site& site, double length) {
    site.drive_length = metres(length);
}
void set_delivery_bore(Site& site, double bore) {
    site.delivery_bore = metres(bore);
}
void set_lift(Site& site, double lift) {
    site.lift = metres(lift);
}

Change drive_length(const Trial& t, bool right, double spoilt_length) {
    if (right)
        return rebuilt(t, "a drive pipe", Figure::length, good_drive_length(t.site).si(), set_drive_length);
    return spoilt(t, "a drive pipe", Figure::length, spoilt_length,
                  [](PumpDesign& d, double l) { d.drive.length_m = l; });
}

Change source(const Trial& t, bool right) {
    const double usual = draw_as_set(t.sound);
    if (right) {
        const auto intake = intake_flow(metres(t.bore()));
        return rebuilt(t, "a source", Figure::flow, intake ? intake->likely.si() : usual,
                       [](Site& s, double flow) { s.source_flow = cubic_metres_per_second(flow); });
    }
    return spoilt(t, "a source", Figure::flow, 0.5 * usual,
                  [](PumpDesign& d, double flow) { d.header.source_m3s = flow; });
}

Change drive_bore(const Trial& t, bool right) {
    if (right)
        return rebuilt(t, "a drive pipe as wide as the pump's inlet,", Figure::bore, t.pump_bore(),
                       [](Site& s, double bore) {
                           s.drive_bore = metres(bore);
                           s.drive_wall = std::nullopt;
                       });
    return spoilt(t, "a drive pipe of half the bore,", Figure::bore, 0.5 * t.pump_bore(),
                  [](PumpDesign& d, double bore) { d.drive.bore_m = bore; });
}

Change material(const Trial& t, bool right) {
    if (right)
        return rebuilt(t, "a steel drive pipe", Figure::length, std::nullopt, [](Site& s, double) {
            s.drive_material = PipeMaterial::steel;
            s.drive_wall = std::nullopt;
        });
    return spoilt(t, "a soft plastic drive pipe", Figure::length, std::nullopt, [](PumpDesign& d, double) {
        const MaterialData& soft = material_data(PipeMaterial::soft_plastic);
        d.drive.modulus_pa = soft.modulus.si();
        d.drive.poisson = soft.poisson;
        d.drive.wall_m = usual_wall(PipeMaterial::soft_plastic, metres(d.drive.bore_m)).si();
    });
}

Change fall(const Trial& t, bool right) {
    if (right)
        return rebuilt(t, "a fall", Figure::length, 1.0, [](Site& s, double h) { s.fall = metres(h); });
    return spoilt(t, "a fall", Figure::length, std::min(0.4, 0.4 * t.fall()), [](PumpDesign& d, double h) {
        d.header.cover_m = std::min(d.header.cover_m, 0.5 * h);
        d.header.level_m = h;
    });
}

Change lift(const Trial& t, bool right, double spoilt_lift) {
    if (right)
        return rebuilt(t, "a lift", Figure::length, 20 * t.fall(), set_lift);
    Site site = t.site;
    site.delivery_length = metres(t.sound.delivery.length_m * spoilt_lift / t.lift()); // the same hillside, farther up
    site.delivery_summit.reset();
    set_lift(site, spoilt_lift);
    const Result<PumpDesign> higher = design_for(site);
    if (!higher)
        return std::nullopt;
    LimitChange change{.thing = "a lift", .kind = Figure::length, .value = spoilt_lift, .design = *higher};
    change.design.waste_valve = t.sound.waste_valve; // as it was set
    return change;
}

Change vessel(const Trial& t, bool right) {
    if (right)
        return rebuilt(t, "an air vessel", Figure::volume, std::nullopt,
                       [](Site& s, double) { s.vessel_volume = std::nullopt; });
    return spoilt(t, "hardly any air in the vessel,", Figure::volume, 0.01 * t.sound.vessel.air_m3,
                  [](PumpDesign& d, double air) { d.vessel.air_m3 = air; });
}

Change delivery_bore(const Trial& t, bool right) {
    if (right)
        return rebuilt(t, "a delivery pipe of half the drive pipe's bore,", Figure::bore, 0.5 * t.bore(),
                       set_delivery_bore);
    return spoilt(t, "a delivery pipe", Figure::bore, 0.15 * t.bore(),
                  [](PumpDesign& d, double bore) { d.delivery.bore_m = bore; });
}

Change summit(const Trial& t, bool right) {
    if (right)
        return rebuilt(t, "no summit in the delivery pipe", Figure::length, std::nullopt,
                       [](Site& s, double) { s.delivery_summit = std::nullopt; });
    return spoilt(t, "a summit that holds air,", Figure::length, 1.3 * t.lift(),
                  [](PumpDesign& d, double top) {
                      d.delivery.summit_m = top;
                      d.delivery.length_m = std::max(d.delivery.length_m, top);
                      d.delivery.siphon = 0; // air stands there: the pump works against the summit
                  });
}

Change snifter(const Trial& t, bool right) {
    if (right)
        return rebuilt(t, "a snifter hole", Figure::bore, 1.2e-3,
                       [](Site& s, double hole) { s.snifter_hole = metres(hole); });
    return spoilt(t, "a snifter hole", Figure::bore, 6e-3, [](PumpDesign& d, double hole) {
        d.snifter.area_m2 = 0.6 * std::acos(-1.0) / 4 * hole * hole;
    });
}

Change change_for(const Trial& t, const std::string& limit, bool right) {
    if (limit == "source_flow")
        return source(t, right);
    if (limit == "drive_length_by_fall")
        return drive_length(t, right, 0.5 * least_length_by_fall * t.fall());
    if (limit == "drive_length_by_bore")
        return drive_length(t, right, 0.5 * least_length_by_bore * t.bore());
    if (limit == "stand_pipe")
        return drive_length(t, right, 2 * most_length_by_bore * t.bore());
    if (limit == "drive_bore_by_pump")
        return drive_bore(t, right);
    if (limit == "drive_material")
        return material(t, right);
    if (limit == "fall_least")
        return fall(t, right);
    if (limit == "lift_by_fall")
        return lift(t, right, 26 * t.fall());
    if (limit == "lift_reach") {
        // Beyond what even the speed with the valve held open can strike.
        return right ? material(t, true)
                     : lift(t, false, t.fall() + 1.1 * wave_speed(t.sound) * open_speed(t.sound) / g_si);
    }
    if (limit == "vessel_volume")
        return vessel(t, right);
    if (limit == "snifter_hole")
        return snifter(t, right);
    if (limit == "delivery_bore_by_drive" || limit == "delivery_friction")
        return delivery_bore(t, right);
    if (limit == "delivery_summit")
        return summit(t, right);
    return std::nullopt; // the drive pipe's rating changes nothing in how it runs
}

} // namespace

std::vector<LimitChange> limit_changes(const Site& site, const PumpDesign& sound) {
    std::vector<LimitChange> changes;
    for (const Limit& limit : check_site(site)) {
        if (limit.state == LimitState::unknown)
            continue;
        Change change = change_for({site, sound}, limit.id, limit.state == LimitState::broken);
        if (!change)
            continue;
        change->limit = limit.id;
        changes.push_back(std::move(*change));
    }
    return changes;
}

} // namespace beckhand
