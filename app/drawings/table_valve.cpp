// The waste valve, and the trials whose outcome shows in it.
#include "app/drawings/tables.h"

namespace beckhand::drawings {

void add_valve_sketches(std::vector<Sketch>& all) {
    constexpr std::string_view dies_open = "090909099999099999999999", dies_shut = "090909099999099900000000",
                               runs_on = "090909900999009999009999", begins = "000000099999099999099999";
    const std::vector<Sketch> lines = {
        {"beat_now", "steady", {{valve, beating}, {splash, beating, Form::both}, {trace, beating}}},
        {"beat_now", "uneven", {{valve, beating_unevenly}, {splash, beating_unevenly, Form::both}, {trace, beating_unevenly}}},
        {"beat_now", "stopped_open", {{valve, "9"}, {splash, "9", Form::sheet}, {trace, "9"}}},
        {"beat_now", "stopped_shut", {{valve, "0"}, {trace, "0"}}},
        {"beat_now", "flutter", {{valve, fluttering}, {splash, "24", Form::all_round}, {trace, "09"}}},

        {"beat_vs_record", "much_faster", {{page, "", {}, 4, 0, 0.46f}, {trace, beating, {}, 0, -27}, {change, "9", Form::up, 54, 0, 0.48f}, {trace, beating_faster, Form::large}}},
        {"beat_vs_record", "faster", {{page, "", {}, 4, 0, 0.46f}, {trace, beating, {}, 0, -27}, {change, "4", Form::up, 54, 0, 0.48f}, {trace, beating_fast, Form::large}}},
        {"beat_vs_record", "same", {{page, "", {}, 4, 0, 0.46f}, {trace, beating, {}, 0, -27}, {change, "", {}, 54, 0, 0.48f}, {trace, beating, Form::large}}},
        {"beat_vs_record", "slower", {{page, "", {}, 4, 0, 0.46f}, {trace, beating, {}, 0, -27}, {change, "4", Form::down, 54, 0, 0.48f}, {trace, beating_slow, Form::large}}},
        {"beat_vs_record", "much_slower", {{page, "", {}, 4, 0, 0.46f}, {trace, beating, {}, 0, -27}, {change, "9", Form::down, 54, 0, 0.48f}, {trace, beating_slower, Form::large}}},

        {"beat_sound", "usual_knock", {{valve, beating, {}, 0, 4, 0.55f}, {heard, "9", {}, 42, -2, 0.8f}, {sound, "531000"}}},
        {"beat_sound", "sharp_crack", {{valve, beating, {}, 0, 4, 0.55f}, {heard, "9", Form::hard, 44, 6, 0.7f}, {sound, "900000"}}},
        {"beat_sound", "dull_thud", {{valve, beating, {}, 0, 4, 0.55f}, {heard, "9", Form::soft, 46, 4, 0.8f}, {sound, "233320"}}},
        {"beat_sound", "double_knock", {{valve, beating, {}, 0, 4, 0.55f}, {heard, "9", {}, 32, 6, 0.6f}, {heard, "9", {}, 55, 6, 0.6f}, {sound, "606000"}}},
        {"beat_sound", "metal_rattle", {{valve, beating, {}, 0, 4, 0.55f}, {heard, "1", Form::hard, 38, 8, 0.5f}, {heard, "1", Form::hard, 50, -6, 0.5f}, {heard, "1", Form::hard, 61, 10, 0.5f}, {sound, "636454"}}},
        {"beat_sound", "silent", {{valve, beating, {}, 0, 4, 0.55f}, {heard, "9", {}, 44, 6, 0.8f}, {cross, "", {}, 55, 10, 0.5f}, {sound, "0"}}},

        {"waste_splash", "usual_bursts", {{valve, beating}, {splash, beating, Form::both}, {trace, beating}}},
        {"waste_splash", "long_pour_between", {{valve, beating_slower, {}, 0, 6, 0.86f}, {splash, beating_slower, Form::weak, 0, 6, 0.86f}, {clock, "3", {}, 66, 0, 0.4f}, {trace, beating_slower}}},
        {"waste_splash", "sheet_all_time", {{splash, "9", Form::large}, {valve, "9"}, {trace, "9"}}},
        {"waste_splash", "sideways_spray", {{valve, beating}, {splash, "9", Form::one_side}, {trace, "799999"}}},
        {"waste_splash", "dribble", {{valve, "1"}, {splash, "9", Form::drips}, {trace, "1"}}},
        {"waste_splash", "none", {{valve, "0"}, {cross, "", {}, 62, -4, 0.44f}, {trace, "0"}}},

        {"shut_seep", "none", {{valve, "0"}, {tick, "", {}, 70, 0, 0.3f}}},
        {"shut_seep", "weep", {{valve, "0"}, {splash, "9", Form::drips}}},
        {"shut_seep", "jet_one_side", {{valve, "0"}, {splash, "6", Form::one_side}}},
        {"shut_seep", "jet_all_round", {{valve, "0"}, {splash, "9", Form::all_round}}},

        {"hand_start", "runs_on", {{valve, runs_on, {}, 0, 10, 0.72f}, {splash, runs_on, Form::both, 0, 10, 0.72f}, {tick, "", {}, 66, 6, 0.4f}, {trace, runs_on}}},
        {"hand_start", "dies_open", {{splash, dies_open, Form::large, 0, 10, 0.72f}, {valve, dies_open, {}, 0, 10, 0.72f}, {change, "4", Form::down, 68, 12, 0.34f}, {trace, dies_open}}},
        {"hand_start", "dies_shut", {{valve, dies_shut, {}, 0, 10, 0.72f}, {splash, dies_shut, Form::both, 0, 10, 0.72f}, {change, "4", Form::up, 68, 12, 0.34f}, {trace, dies_shut}}},
        {"hand_start", "no_kick", {{valve, "0606", {}, 22, 16, 0.76f}, {stick, "0606", {}, 22, 16, 0.76f}, {kick, "", Form::hard, 0, 8, 0.7f}, {cross, "", {}, -8, 2, 0.44f}, {trace, "0202"}}},
        {"hand_start", "will_not_move", {{valve, "3", Form::jammed}, {stick, "3"}, {cross, "", {}, 2, -4, 0.9f}}},

        {"kick_feel", "hard", {{valve, "0"}, {stick, "0"}, {kick, "", Form::hard}}},
        {"kick_feel", "spongy", {{valve, "0"}, {stick, "0"}, {kick, "", Form::soft}}},
        {"kick_feel", "weak", {{valve, "0"}, {stick, "0"}, {kick, "", Form::weak}}},
        {"kick_feel", "none", {{valve, "0"}, {stick, "0"}, {kick, "", Form::none}}},

        {"run_time", "does_not_stop", {{pump, beating, {}, 0, 4, 0.78f}, {arrow, "", Form::right, 64, 26, 0.45f}, {tick, "", {}, 76, 2, 0.3f}, {trace, beating}}},
        {"run_time", "under_1min", {{pump, "0", {}, 0, 4, 0.78f}, {clock, "1", {}, 68, 0, 0.36f}, {trace, "099990000000000000000000"}}},
        {"run_time", "minutes", {{pump, "0", {}, 0, 4, 0.78f}, {clock, "3", {}, 68, 0, 0.36f}, {trace, "099990999909999000000000"}}},
        {"run_time", "hours_or_days", {{pump, "0", {}, 0, 4, 0.78f}, {sun, "", {}, 68, 0, 0.36f}, {trace, "099990999909999099990000"}}},
        {"run_time", "will_not_start", {{pump, "0", {}, 0, 4, 0.78f}, {cross, "", {}, 64, 0, 0.4f}, {trace, "0"}}},

        {"open_flow", "strong", {{valve, "9"}, {stick, "9"}, {splash, "9", Form::both}}},
        {"open_flow", "weaker", {{valve, "9"}, {stick, "9"}, {splash, "3", Form::both}}},
        {"open_flow", "trickle", {{valve, "9"}, {stick, "9"}, {splash, "9", Form::drips}}},
        {"open_flow", "none", {{valve, "9"}, {stick, "9"}, {cross, "", {}, 2, 8, 0.3f}}},

        {"valve_travel", "free", {{valve, "0099"}, {arrow, "", Form::both, -12, 2, 0.55f}}},
        {"valve_travel", "sticky", {{valve, "0333333333399999333333"}, {arrow, "", Form::sticky, -12, 2, 0.55f}}},
        {"valve_travel", "jammed", {{valve, "4", Form::jammed}, {cross, "", {}, 2, 4, 0.36f}}},
        {"valve_travel", "wobbly", {{valve, "9", Form::wobbly}, {arrow, "", Form::left, 0, 2, 0.36f}, {arrow, "", Form::right, 64, 2, 0.36f}}},

        {"valve_face", "clean", {{face, ""}}},
        {"valve_face", "grooved_or_split", {{face, "", Form::grooved}}},
        {"valve_face", "swollen_soft", {{face, "", Form::swollen}}},
        {"valve_face", "hard_glazed", {{face, "", Form::cracked}}},
        {"valve_face", "debris_found", {{face, "", Form::debris}}},
        {"valve_face", "crooked", {{face, "", Form::tilted}}},

        {"stroke_set", "as_marked", {{stroke_marks, ""}}},
        {"stroke_set", "longer", {{stroke_marks, "", Form::longer}}},
        {"stroke_set", "shorter", {{stroke_marks, "", Form::shorter}}},
        {"stroke_set", "nut_loose", {{stroke_marks, "", Form::loose}}},
        {"stroke_set", "part_missing", {{stroke_marks, "", Form::missing}}},

        {"bubbles", "none", {{valve, beating}, {splash, beating, Form::both}, {trace, "0"}}},
        {"bubbles", "first_minute_only", {{valve, beating}, {splash, beating, Form::both}, {bubbles_out, "999900000000000000000000"}, {bubbles_out, "1"}, {trace, "999900000000000000000000"}}},
        {"bubbles", "every_beat", {{valve, beating}, {splash, beating, Form::both}, {bubbles_out, "099999"}, {trace, beating}}},
        {"bubbles", "gulps", {{valve, beating}, {splash, beating, Form::both}, {bubbles_out, "000000999000000000000999"}, {trace, "000000999000000000000999"}}},

        {"tail_gap", "clear_air", {{tail_water, "0"}, {valve, beating, {}, 10, 0, 0.8f}, {splash, beating, Form::both, 10, 0, 0.8f}, {arrow, "", Form::both, -2, 22, 0.58f}}},
        {"tail_gap", "awash", {{tail_water, "6"}, {valve, beating, {}, 10, 7, 0.9f}}},
        {"tail_gap", "under_water", {{tail_water, "9"}, {valve, beating, {}, 10, 17, 0.78f}}},

        {"throttle_trial", "runs_when_throttled", {{pump, begins, {}, 0, 12, 0.6f}, {lever_valve, "4", {}, 58, 22, 0.42f}, {tick, "", {}, 60, -4, 0.42f}, {trace, begins}}},
        {"throttle_trial", "no_change", {{pump, "0", {}, 0, 12, 0.6f}, {lever_valve, "4", {}, 58, 22, 0.42f}, {change, "", {}, 62, -5, 0.4f}, {trace, "0"}}},
        {"throttle_trial", "worse", {{pump, dies_shut, {}, 0, 12, 0.6f}, {lever_valve, "4", {}, 58, 22, 0.42f}, {change, "4", Form::down, 62, -6, 0.4f}, {trace, dies_shut}}},

        {"head_off_trial", "runs_well", {{pump, begins, {}, 0, 4, 0.74f}, {spout, "9", {}, 62, 26, 0.4f}, {trace, begins}}},
        {"head_off_trial", "no_change", {{pump, "0", {}, 0, 4, 0.74f}, {spout, "0", {}, 62, 26, 0.4f}, {cross, "", {}, 66, 0, 0.32f}, {trace, "0"}}},

        {"back_flow", "stops_after_pipe_drains", {{valve, "9"}, {stick, "9"}, {splash, "966300000000000000000000", Form::both}, {trace, "966300000000000000000000"}}},
        {"back_flow", "keeps_trickling", {{valve, "9"}, {stick, "9"}, {splash, "9", Form::drips}, {trace, "964222222222222222222222"}}},
        {"back_flow", "gushes", {{valve, "9"}, {stick, "9"}, {splash, "9", Form::both}, {trace, "9"}}},
    };
    all.insert(all.end(), lines.begin(), lines.end());
}

} // namespace beckhand::drawings
