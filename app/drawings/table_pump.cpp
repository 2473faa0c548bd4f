// The rest of the pump: gauge, air vessel, snifter, base, joints, inside.
#include "app/drawings/tables.h"

namespace beckhand::drawings {

void add_pump_sketches(std::vector<Sketch>& all) {
    constexpr std::string_view slow_drop = "777776666655555444443333", fast_drop = "777531000000000000000000";
    const std::vector<Sketch> lines = {
        // The small valve at the foot is the one on the delivery: open, or shut too.
        {"hold_line", "holds", {{gauge, "7", {}, -14}, {lever_valve, "9", {}, 56, 50, 0.42f}, {tick, "", {}, 72, 0, 0.28f}}},
        {"hold_line", "slow_drop", {{gauge, slow_drop, {}, -14}, {gauge_swing, "74", {}, -14}, {lever_valve, "9", {}, 56, 50, 0.42f}, {clock, "4", {}, 70, 0, 0.3f}}},
        {"hold_line", "fast_drop", {{gauge, fast_drop, {}, -14}, {gauge_swing, "70", {}, -14}, {lever_valve, "9", {}, 56, 50, 0.42f}, {clock, "1", {}, 70, 0, 0.3f}}},
        {"hold_vessel", "holds", {{gauge, "7", {}, -14}, {lever_valve, "0", {}, 56, 42, 0.42f}, {tick, "", {}, 72, 0, 0.28f}}},
        {"hold_vessel", "slow_drop", {{gauge, slow_drop, {}, -14}, {gauge_swing, "74", {}, -14}, {lever_valve, "0", {}, 56, 42, 0.42f}, {clock, "4", {}, 70, 0, 0.3f}}},
        {"hold_vessel", "fast_drop", {{gauge, fast_drop, {}, -14}, {gauge_swing, "70", {}, -14}, {lever_valve, "0", {}, 56, 42, 0.42f}, {clock, "1", {}, 70, 0, 0.3f}}},

        {"needle", "steady", {{gauge, "5"}}},
        {"needle", "small_swing", {{gauge, "464656"}, {gauge_swing, "37", Form::both}}},
        {"needle", "wide_swing", {{gauge, "177777"}, {gauge_swing, "18", Form::both}}},
        {"needle", "stuck_zero", {{gauge, "0"}}},

        {"static_vs_lift", "match", {{gauge, "5"}, {gauge_mark, "5"}}},
        {"static_vs_lift", "low", {{gauge, "2"}, {gauge_mark, "5"}}},
        {"static_vs_lift", "high", {{gauge, "8"}, {gauge_mark, "5"}}},

        {"run_over_static", "small", {{gauge, "5"}, {gauge_mark, "4"}}},
        {"run_over_static", "moderate", {{gauge, "6"}, {gauge_mark, "4"}}},
        {"run_over_static", "large", {{gauge, "8"}, {gauge_mark, "4"}}},
        {"run_over_static", "below_static", {{gauge, "2"}, {gauge_mark, "4"}}},

        {"delivery_feel", "smooth", {{short_pipe, "5", {}, 0, 18}, {hand, "", {}, 0, 14}, {pulse_marks, "", {}, 0, 14}}},
        {"delivery_feel", "soft_pulse", {{short_pipe, "5", {}, 0, 18}, {hand, "", {}, 0, 14}, {pulse_marks, "900000", Form::soft, 0, 14}, {trace, "123210"}}},
        {"delivery_feel", "hard_thump", {{short_pipe, "5", {}, 0, 18}, {hand, "", {}, 0, 14}, {pulse_marks, "900000", Form::hard, 0, 14}, {trace, "900000"}}},
        {"delivery_feel", "dead", {{short_pipe, "0", {}, 0, 18}, {hand, "", {}, 0, 14}, {pulse_marks, "", Form::none, 0, 14}, {trace, "0"}}},

        {"vessel_tap", "hollow_above_dull_below", {{vessel, "5", {}, 4}, {knock_rings, "", Form::hollow, 6, -14}, {knock_rings, "", Form::dull, 6, 18}}},
        {"vessel_tap", "dull_all", {{vessel, "9", {}, 4}, {knock_rings, "", Form::dull, 6, -14}, {knock_rings, "", Form::dull, 6, 18}}},
        {"vessel_tap", "hollow_all", {{vessel, "0", {}, 4}, {knock_rings, "", Form::hollow, 6, -14}, {knock_rings, "", Form::hollow, 6, 20}}},

        {"snifter", "sip_and_tiny_squirt", {{snifter, "900000", Form::both}}},
        {"snifter", "nothing", {{snifter, "", Form::none}}},
        {"snifter", "strong_squirt", {{snifter, "099999", Form::large}}},
        {"snifter", "drips_always", {{snifter, "", Form::drips}}},
        {"snifter", "none_fitted", {{snifter, "", Form::missing}}},

        {"vessel_skin", "dry", {{vessel_skin, ""}}},
        {"vessel_skin", "bubbles_with_soap", {{vessel_skin, "123456789", Form::bubbles, 6, 10, 0.86f}}},
        {"vessel_skin", "crack_spray", {{vessel_skin, "9", Form::cracked}}},
        {"vessel_skin", "rust_blisters", {{vessel_skin, "", Form::rust}}},

        {"bladder_gauge", "in_band", {{bladder, "", {}, 44, 10, 0.74f}, {gauge, "5", {}, -6, 12, 0.62f}, {gauge_mark, "5", {}, -6, 12, 0.62f}}},
        {"bladder_gauge", "flat", {{bladder, "", {}, 44, 10, 0.74f}, {gauge, "0", {}, -6, 12, 0.62f}, {gauge_mark, "5", {}, -6, 12, 0.62f}}},
        {"bladder_gauge", "water_comes_out", {{bladder, "", Form::wet, 44, 14, 0.74f}, {gauge, "5", {}, -6, 12, 0.62f}}},
        {"bladder_gauge", "too_hard", {{bladder, "", {}, 44, 10, 0.74f}, {gauge, "9", {}, -6, 12, 0.62f}, {gauge_mark, "5", {}, -6, 12, 0.62f}}},
        {"bladder_gauge", "no_bladder", {{bladder, "", Form::missing}}},

        {"reair_result", "cured_lasting", {{vessel, "4", {}, -6, 0, 0.84f}, {tick, "", {}, 64, 6, 0.4f}, {trace, "111999999999999999999999"}}},
        {"reair_result", "cured_for_days", {{vessel, "8", {}, -6, 0, 0.84f}, {sun, "", {}, 64, 6, 0.4f}, {trace, "111999998887754321111111"}}},
        {"reair_result", "no_change", {{vessel, "4", {}, -6, 0, 0.84f}, {cross, "", {}, 64, 6, 0.4f}, {trace, "1"}}},

        {"base_feel", "firm", {{ground_block, "5"}}},
        {"base_feel", "rocks", {{ground_block, "009999", Form::wobbly}}},
        {"base_feel", "bolts_loose", {{ground_block, "5", Form::loose}}},

        {"body_joints", "dry", {{flange, ""}}},
        {"body_joints", "weeping", {{flange, "", Form::drips}}},
        {"body_joints", "spraying", {{flange, "9", Form::wet, 8, 8, 0.84f}}},

        {"inside_look", "clean", {{pipe_ring, ""}}},
        {"inside_look", "lime", {{pipe_ring, "", Form::lime}}},
        {"inside_look", "rust_flakes", {{pipe_ring, "", Form::rust}}},
        {"inside_look", "slime_or_snails", {{pipe_ring, "", Form::slime}}},

        {"twin_trial", "single", {{pump, beating, {}, 4, 0, 0.86f}, {trace, beating}}},
        {"twin_trial", "both_fine_alone", {{pump, beating, {}, 0, 32, 0.46f}, {tick, "", {}, 2, -4, 0.42f}, {pump, beating, {}, 54, 32, 0.46f}, {tick, "", {}, 56, -4, 0.42f}, {trace, beating}}},
        {"twin_trial", "fault_stays_alone", {{pump, beating, {}, 0, 32, 0.46f}, {tick, "", {}, 2, -4, 0.42f}, {pump, "0", {}, 54, 32, 0.46f}, {cross, "", {}, 43, 12, 0.66f}}},

        {"tamper_signs", "none", {{pump, beating, {}, 0, 0, 0.86f}, {tick, "", {}, 66, 2, 0.3f}}},
        {"tamper_signs", "parts_moved", {{pump, "9", {}, 0, 0, 0.86f}, {cross, "", {}, 8, 12, 0.4f}, {boot, "", {}, 66, 0, 0.42f}}},
        {"tamper_signs", "damage_by_stock", {{pump, "9", {}, 0, 22, 0.6f}, {animal, "", {}, 44, 0, 0.58f}, {cross, "", {}, 6, 30, 0.34f}}},
        {"tamper_signs", "creature_in_valve", {{valve, "9"}, {frog, "", {}, 28, 2, 0.44f}}},

        {"ice_signs", "none", {{site, ""}}},
        {"ice_signs", "at_intake", {{site, ""}, {snow, "", {}, 0, -2, 0.42f}}},
        {"ice_signs", "at_pump", {{site, ""}, {snow, "", {}, 6, 46, 0.42f}}},
        {"ice_signs", "on_delivery", {{site, ""}, {snow, "", {}, 42, 4, 0.42f}}},
    };
    all.insert(all.end(), lines.begin(), lines.end());
}

} // namespace beckhand::drawings
