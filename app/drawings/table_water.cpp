// Source, header, strainer and pit; weather, time and what people tell.
#include "app/drawings/tables.h"

namespace beckhand::drawings {

void add_water_sketches(std::vector<Sketch>& all) {
    const std::vector<Sketch> lines = {
        {"header_level", "spilling", {{header, "9", Form::large}}},
        {"header_level", "full_not_spilling", {{header, "8"}}},
        {"header_level", "drawn_down", {{header, "5"}, {old_level, "85"}}},
        {"header_level", "empty", {{header, "0"}, {old_level, "80"}}},

        {"header_trend", "steady", {{header, "8"}, {old_level, "88"}, {tick, "", {}, 26, 28, 0.3f}}},
        {"header_trend", "falls_slowly", {{header, "888887777766666555555555"}, {old_level, "85"}}},
        {"header_trend", "falls_then_air", {{header, "888765433333333333333333"}, {old_level, "83"}, {bubbles_out, "9", {}, 40, 44, 0.6f}}},

        {"screen_face", "clear", {{strainer, ""}}},
        {"screen_face", "part_covered", {{strainer, "", Form::partly}}},
        {"screen_face", "matted", {{strainer, "", Form::matted}}},
        {"screen_face", "iced", {{strainer, "", Form::iced}}},
        {"screen_face", "torn_or_off", {{strainer, "", Form::torn}}},

        {"intake_swirl", "still", {{header, "8"}}},
        {"intake_swirl", "dimple", {{header, "8"}, {whirl, "", Form::small}}},
        {"intake_swirl", "air_core_or_gurgle", {{header, "8"}, {whirl, "", Form::air}}},

        {"silt_depth", "clean", {{header, "8"}}},
        {"silt_depth", "some", {{header, "8"}, {silt, "1"}}},
        {"silt_depth", "to_pipe_mouth", {{header, "8"}, {silt, "4"}}},

        {"feed_path", "sound", {{channel, ""}}},
        {"feed_path", "leaking_or_bypassing", {{channel, "", Form::wet}}},
        {"feed_path", "diverted", {{channel, "", Form::away}}},

        {"water_look", "clear", {{jar, ""}}},
        {"water_look", "silty", {{jar, "", Form::silt}}},
        {"water_look", "leafy_or_weedy", {{jar, "", Form::leaf}}},
        {"water_look", "icy", {{jar, "", Form::iced}}},

        {"creek_level", "low", {{creek, "1"}}},
        {"creek_level", "usual", {{creek, "4"}}},
        {"creek_level", "high", {{creek, "6"}}},
        {"creek_level", "flood", {{creek, "8"}}},

        {"pit_drain", "free", {{pit, "0"}}},
        {"pit_drain", "slow", {{pit, "4", Form::weak}}},
        {"pit_drain", "blocked", {{pit, "8", Form::shut}}},
        {"pit_drain", "no_pit", {{pit, "0", Form::missing}}},

        {"fall_band", "2m_up", {{person_height, "8"}}},
        {"fall_band", "1_to_2m", {{person_height, "5"}}},
        {"fall_band", "under_1m", {{person_height, "2"}}},

        {"use_change", "same", {{tap, "9", {}, -70, 4}, {animal, "", {}, 40, 14, 0.6f}, {tick, "", {}, 30, 0, 0.3f}}},
        {"use_change", "more_use", {{animal, "", {}, 0, 34, 0.5f}, {animal, "", {}, 50, 34, 0.5f}, {animal, "", {}, 8, 0, 0.4f}, {person, "", {}, 56, 0, 0.4f}, {plus, "", {}, 80, 2, 0.22f}}},
        {"use_change", "new_outlet", {{tap, "9", {}, -118, -68, 1.6f}, {tap, "9", {}, -66, -68, 1.6f}, {plus, "", {}, 38, 2, 0.26f}}},

        {"onset", "sudden", {{graph, "999999999999111111111111"}}},
        {"onset", "days", {{graph, "999999998765432111111111"}}},
        {"onset", "weeks_or_months", {{graph, "998888777766665555444433"}}},
        {"onset", "never_right", {{graph, "2"}}},
        {"onset", "on_and_off", {{graph, "999911119999111199991111"}}},

        {"before_it", "flood_or_storm", {{creek, "8", {}, 0, 20, 1}, {rain, "", {}, 2, -4, 0.5f}, {rain, "", {}, 48, -4, 0.5f}}},
        {"before_it", "frost", {{snow, ""}}},
        {"before_it", "dry_spell", {{creek, "0", {}, 0, 20, 0.8f}, {sun, "", {}, 54, -6, 0.6f}}},
        {"before_it", "pump_worked_on", {{pump, "9", {}, 0, 18, 0.76f}, {spanner, "", {}, 52, 0, 0.56f}}},
        {"before_it", "pipes_worked_on", {{drive_pipe, "", {}, 0, 8}, {spanner, "", {}, 46, -2, 0.56f}}},
        {"before_it", "new_installation", {{site, ""}, {spade, "", {}, 20, 0, 0.5f}}},
        {"before_it", "people_or_stock", {{animal, "", {}, 0, 24, 0.68f}, {person, "", {}, 48, 14, 0.76f}}},
        {"before_it", "nothing_known", {{asked, ""}}},

        {"rubber_age", "under_1yr", {{years, "1"}}},
        {"rubber_age", "1_to_3yr", {{years, "4"}}},
        {"rubber_age", "over_3yr", {{years, "8"}}},
        {"rubber_age", "never_or_unknown", {{years, "", Form::question}, {asked, "", {}, 28, 0, 0.56f}}},

        {"drive_flow_band", "near_record", {{drive_pipe, "", {}, 0, -8, 0.5f}, {bucket, "5", {}, 20, 12, 0.8f}, {bucket_mark, "5", {}, 20, 12, 0.8f}}},
        {"drive_flow_band", "low", {{drive_pipe, "", {}, 0, -8, 0.5f}, {bucket, "2", {}, 20, 12, 0.8f}, {bucket_mark, "5", {}, 20, 12, 0.8f}}},
        {"drive_flow_band", "high", {{drive_pipe, "", {}, 0, -8, 0.5f}, {bucket, "8", {}, 20, 12, 0.8f}, {bucket_mark, "5", {}, 20, 12, 0.8f}}},

        {"waste_share", "usual", {{valve, "9", {}, 0, 0, 0.46f}, {splash, "5", Form::one_side, 0, 0, 0.46f}, {bucket, "5", {}, 24, 20, 0.74f}, {bucket_mark, "5", {}, 24, 20, 0.74f}}},
        {"waste_share", "all_wasted", {{valve, "9", {}, 0, 0, 0.46f}, {splash, "9", Form::one_side, 0, 0, 0.46f}, {bucket, "9", {}, 24, 20, 0.74f}, {bucket_mark, "5", {}, 24, 20, 0.74f}, {spout, "0", {}, 68, 0, 0.32f}, {cross, "", {}, 82, 6, 0.2f}}},
        {"waste_share", "more", {{valve, "9", {}, 0, 0, 0.46f}, {splash, "8", Form::one_side, 0, 0, 0.46f}, {bucket, "8", {}, 24, 20, 0.74f}, {bucket_mark, "5", {}, 24, 20, 0.74f}}},
        {"waste_share", "less", {{valve, "9", {}, 0, 0, 0.46f}, {splash, "2", Form::one_side, 0, 0, 0.46f}, {bucket, "2", {}, 24, 20, 0.74f}, {bucket_mark, "5", {}, 24, 20, 0.74f}}},

        {"water_temp", "above_4", {{thermometer, "7"}}},
        {"water_temp", "1_to_4", {{thermometer, "3"}}},
        {"water_temp", "near_0", {{thermometer, "1"}, {snow, "", {}, 4, 14, 0.4f}}},
    };
    all.insert(all.end(), lines.begin(), lines.end());
}

} // namespace beckhand::drawings
