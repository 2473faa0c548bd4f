// The virtual pump: one ram in time. From a design it gives what a person could count, catch and read at
// the pump: beat, flows, pressures, and how the valve rests if it stops. Pure and repeatable; equations and
// sources in MODEL.md.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "engine/pump/design.h"
#include "engine/quantity/quantity.h"

namespace beckhand {

struct RunOptions {
    double seconds = 60;
    double warm_up_seconds = 15;     // left out of the means
    std::size_t reaches = 24;        // of the drive pipe, 4 to 128
    bool unsteady_friction = false;  // Brunone's; damps ringing, but finer grids make it stronger (MODEL.md)
    double sample_every_seconds = 0; // 0: no series
    int hand_beats = 5;             // how often a person frees a valve that rests (shut or open) at the start
    double hand_wait_seconds = 1.5; // a valve at rest this long is freed
};

enum class ValveRest { runs, open, shut };

/// The model's own error beside measured rams (MODEL.md): flows within 20 %, beats within 25 %. Of the mean
/// pressure in the vessel, which is mostly the lift, 5 %: judgement.
inline constexpr double flow_error = 0.20, beat_error = 0.25, pressure_error = 0.05;

struct PumpSample {
    double time_s, body_head_m, vessel_head_m, drive_m3s, waste_m3s, check_m3s, delivery_m3s, valve_m;
};

/// Where the water went over the whole run, m3. in + leaked air = the rest, to rounding.
struct WaterBook {
    double from_header = 0, wasted = 0, delivered = 0, leaked = 0, snifted_in = 0, stored_gain = 0;
    [[nodiscard]] double gap() const {
        return from_header + snifted_in - wasted - delivered - leaked - stored_gain;
    }
};

struct PumpRun {
    Frequency beat;                                // 0 when it does not run
    double beat_unsteadiness = 0;                  // standard deviation of the period over its mean
    FlowRate drive, waste, delivered;              // means after the warm-up; delivered at the outlet
    FlowRate through_check;                        // into the vessel
    FlowRate header_spill;                         // past the intake; source less what the pump takes
    double efficiency = 0;                         // d'Aubuisson: delivered x lift / (drive x fall)
    Pressure vessel_mean, vessel_low, vessel_high; // gauge
    Pressure body_peak, body_low; // gauge, at the pump's end; the peak is a spike that finer grids sharpen
    Speed drive_peak_speed;       // mean of both ends of the drive pipe
    ValveRest rest =
        ValveRest::runs;        // how the valve first came to rest by itself, unless a hand got it going
    int beats = 0;              // over the whole run
    int hand_beats = 0;         // used
    double last_beat_s = 0;     // when it beat last
    double line_full_share = 1; // of the delivery pipe, at the end
    bool cock_gushes = false;   // a cock on the delivery at the pump, opened, gushes
    double header_drop_m = 0;   // below full, at the end
    double air_in_drive_m3 = 0; // at atmospheric pressure, at the end
    WaterBook book;
    std::vector<PumpSample> series;
};

[[nodiscard]] PumpRun simulate(const PumpDesign& design, const RunOptions& options = {});

/// Gauge pressure in the vessel so long after the pump is stopped with the waste valve shut, the line open
/// or its valve at the pump shut: what the hold test shows.
[[nodiscard]] Pressure pressure_after_stop(const PumpDesign& design, Duration wait, bool line_open);

} // namespace beckhand
