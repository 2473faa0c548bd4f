// Drive pipe, delivery line and tank.
#include "app/drawings/tables.h"

namespace beckhand::drawings {

void add_pipe_sketches(std::vector<Sketch>& all) {
    const std::vector<Sketch> lines = {
        {"drive_line", "straight_and_firm", {{drive_pipe, ""}}},
        {"drive_line", "hump_or_sag", {{drive_pipe, "", Form::sag}}},
        {"drive_line", "dented", {{drive_pipe, "", Form::dented}}},
        {"drive_line", "wet_or_spraying", {{drive_pipe, "9", Form::wet}}},
        {"drive_line", "jumps_with_beat", {{drive_pipe, "000999", Form::wobbly}}},

        {"drive_pipe_kind", "steel_or_iron", {{short_pipe, "", Form::steel}}},
        {"drive_pipe_kind", "rigid_plastic", {{short_pipe, "", Form::plastic}}},
        {"drive_pipe_kind", "soft_plastic", {{short_pipe, "", Form::hose}}},
        {"drive_pipe_kind", "steel_with_soft_piece", {{short_pipe, "", Form::mixed}}},

        {"drive_gate", "full_open", {{lever_valve, "9"}}},
        {"drive_gate", "part_open", {{lever_valve, "4"}}},
        {"drive_gate", "shut", {{lever_valve, "0"}}},
        {"drive_gate", "none", {{lever_valve, "", Form::missing}}},

        {"drive_shape", "in_band", {{pipe_shape, ""}}},
        {"drive_shape", "short", {{pipe_shape, "", Form::shorter}}},
        {"drive_shape", "long", {{pipe_shape, "", Form::longer}}},
        {"drive_shape", "wide", {{pipe_shape, "", Form::large}}},
        {"drive_shape", "narrow", {{pipe_shape, "", Form::small}}},

        // Three places along the pipe, header at the left, pump at the right.
        {"jolt_trace", "firm_all_along", {{drive_pipe, "", {}, 0, 6}, {heard, "9", Form::hard, -7, -2, 0.5f}, {heard, "9", Form::hard, 25, 12, 0.5f}, {heard, "9", Form::hard, 57, 26, 0.5f}}},
        {"jolt_trace", "fades_partway", {{drive_pipe, "", {}, 0, 6}, {heard, "0", Form::hard, 35, 24, 0.3f}, {heard, "9", Form::hard, 57, 26, 0.5f}}},
        {"jolt_trace", "soft_all_along", {{drive_pipe, "", {}, 0, 6}, {heard, "9", Form::soft, -7, 1, 0.5f}, {heard, "9", Form::soft, 25, 15, 0.5f}, {heard, "9", Form::soft, 57, 29, 0.5f}}},

        {"delivery_walk", "dry", {{line_pipe, ""}}},
        {"delivery_walk", "wet_or_green_patch", {{line_pipe, "", Form::patch}}},
        {"delivery_walk", "crushed", {{line_pipe, "", Form::crushed}}},
        {"delivery_walk", "frosted", {{line_pipe, "0", Form::iced}, {snow, "", {}, 12, 0, 0.46f}, {snow, "", {}, 52, 32, 0.4f}}},
        {"delivery_walk", "extra_branch", {{line_pipe, "", Form::branch}}},

        {"delivery_valves", "all_open", {{lever_valve, "9", {}, 0, 16, 0.5f}, {lever_valve, "9", {}, 50, 16, 0.5f}}},
        {"delivery_valves", "part_open", {{lever_valve, "9", {}, 0, 16, 0.5f}, {lever_valve, "4", {}, 50, 16, 0.5f}}},
        {"delivery_valves", "shut", {{lever_valve, "9", {}, 0, 16, 0.5f}, {lever_valve, "0", {}, 50, 16, 0.5f}, {cross, "", {}, 60, 48, 0.3f}}},

        {"delivery_profile", "steady_rise", {{profile, ""}}},
        {"delivery_profile", "high_spot", {{profile, "", Form::hump}}},
        {"delivery_profile", "tank_below_summit", {{profile, "", Form::high}}},
        {"delivery_profile", "sags", {{profile, "", Form::sag}}},

        {"delivery_opening", "pulses", {{spout, "900999", Form::broken}, {trace, "900999"}}},
        {"delivery_opening", "gushes_through", {{spout, "9", Form::large}, {trace, "9"}}},
        {"delivery_opening", "nothing", {{spout, "0"}, {trace, "0"}}},

        {"near_far_flow", "same", {{pump, beating, {}, 0, 0, 0.4f}, {bucket, "7", {}, -3, 34, 0.54f}, {tank, "6", {}, 56, 0, 0.38f}, {bucket, "7", {}, 49, 34, 0.54f}}},
        {"near_far_flow", "far_less", {{pump, beating, {}, 0, 0, 0.4f}, {bucket, "7", {}, -3, 34, 0.54f}, {tank, "6", {}, 56, 0, 0.38f}, {bucket, "2", {}, 49, 34, 0.54f}}},
        {"near_far_flow", "far_none", {{pump, beating, {}, 0, 0, 0.4f}, {bucket, "7", {}, -3, 34, 0.54f}, {tank, "0", {}, 56, 0, 0.38f}, {bucket, "0", {}, 49, 34, 0.54f}, {cross, "", {}, 64, 46, 0.24f}}},

        {"summit_vent", "air_then_water", {{vent, "", Form::air}}},
        {"summit_vent", "water_only", {{vent, "", Form::wet}}},
        {"summit_vent", "sucks_air", {{vent, "", Form::down}}},

        {"outlet_flow", "usual", {{spout, "9"}, {trace, "8"}}},
        {"outlet_flow", "weaker", {{spout, "3"}, {trace, "3"}}},
        {"outlet_flow", "spurts", {{spout, "911999", Form::broken}, {trace, "911119"}}},
        {"outlet_flow", "spits_air", {{spout, "9", Form::air}, {trace, "907090208090"}}},
        {"outlet_flow", "none", {{spout, "0"}, {cross, "", {}, 52, 24, 0.4f}, {trace, "0"}}},

        {"lift_ratio", "to_8", {{height_bars, "3"}}},
        {"lift_ratio", "8_to_15", {{height_bars, "5"}}},
        {"lift_ratio", "15_to_20", {{height_bars, "7"}}},
        {"lift_ratio", "over_20", {{height_bars, "9"}}},

        {"yield_band", "good", {{bucket, "8"}, {bucket_mark, "9"}}},
        {"yield_band", "fair", {{bucket, "6"}, {bucket_mark, "9"}}},
        {"yield_band", "poor", {{bucket, "3"}, {bucket_mark, "9"}}},
        {"yield_band", "nil", {{bucket, "0"}, {bucket_mark, "9"}, {cross, "", {}, 36, 34, 0.28f}}},

        {"tank_state", "filling", {{tank, "345678"}, {inflow, "8"}, {arrow, "", Form::up, 38, 20, 0.6f}}},
        {"tank_state", "full_or_spilling", {{tank, "9", Form::large}, {inflow, "8"}}},
        {"tank_state", "float_shut", {{tank, "7", Form::shut}}},
        {"tank_state", "level_drops_unused", {{tank, "888777666555444444444444"}, {old_level, "84", {}, 16}, {tap, "0"}}},
        {"tank_state", "empty_no_inflow", {{tank, "0"}, {cross, "", {}, 38, 26, 0.34f}}},

        {"tank_hold", "holds", {{tank, "7"}, {old_level, "77", {}, 16}, {tick, "", {}, 42, 34, 0.3f}}},
        {"tank_hold", "drops", {{tank, "777766665555444433333333"}, {old_level, "73", {}, 16}}},

        {"complaint", "none_at_tank", {{tank, "2"}, {cross, "", {}, 30, 12, 0.34f}}},
        {"complaint", "less_at_tank", {{tank, "5"}, {inflow, "2"}, {old_level, "85", {}, 16}}},
        {"complaint", "runs_out_of_water", {{tank, "0"}, {inflow, "5"}, {tap, "0"}, {old_level, "70", {}, 16}}},
        {"complaint", "noise_or_shaking", {{pump, beating, {}, 0, 12, 0.86f}, {heard, "9", Form::hard, 52, -4, 0.58f}, {heard, "9", Form::hard, -8, 2, 0.56f}}},
        {"complaint", "visible_leak", {{flange, "9", Form::wet, 8, 8, 0.84f}}},
        {"complaint", "stops_by_itself", {{pump, "0", {}, 8, 0, 0.84f}, {trace, "099999099999099999000000"}}},
        {"complaint", "never_worked", {{pump, "0", {}, 8, 0, 0.84f}, {cross, "", {}, 18, 4, 0.7f}, {trace, "0"}}},
    };
    all.insert(all.end(), lines.begin(), lines.end());
}

} // namespace beckhand::drawings
