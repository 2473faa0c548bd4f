// The drawn cross-section of the installation: source and intake, drive pipe, pump with its valves, air
// vessel, delivery pipe, tank, to the site's own proportions. Lights up one part and shows what is known.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "app/kit/kit.h"
#include "engine/hydraulics/site.h"
#include "engine/pump/one_beat.h"
#include "engine/quantity/text.h"

namespace beckhand::kit {

/// Points in metres: x along the ground from the intake, y up from the waste valve. Pure; tested without a
/// screen.
struct Section {
    struct Point {
        double x = 0, y = 0;
    };
    Point intake, drive_foot, pump, vessel_top, delivery_foot, summit, tank;
    std::vector<Point> ground, drive_pipe, delivery_pipe;
    double left = 0, width = 1, top = 1, bottom = 0; // bounds: left .. left + width, bottom .. top
    bool heights_true = true, lengths_true = true;   // false: drawn nearer together to stay readable
};
[[nodiscard]] Section section_of(const Site& site);

/// How the two scales of a section stand to each other where it is drawn so wide and tall (pixels), in words:
/// "to scale", "heights 3 times larger"; "not to scale" where something is drawn nearer.
[[nodiscard]] std::string scale_words(const Section& section, float w, float h);

/// What is known of the pump at work, written at its place; and how it moves, where it may.
struct AtWork {
    std::optional<Frequency> beat{};
    std::optional<FlowRate> waste{}, delivered{};
    std::optional<Pressure> vessel{};
    const OneBeat* moves = nullptr;
};

/// The name of a part in words, "Drive pipe"; empty for an id that has none.
[[nodiscard]] std::string_view part_name(std::string_view part);

/// `part` is a part id of the pack (intake, drive_pipe, fall, lift, waste_valve, check_valve, air_vessel,
/// snifter, delivery, tank, body) to light up, or empty. Height 0: what the screen leaves (see Kit::canvas). While
/// Kit::moving() it moves as the beat says, slowed so far that the eye can follow, which it says; else it shows the
/// pump at rest, its waste valve hanging open.
void draw_installation(Kit& kit, const Site& site, std::string_view part, Units units, float height_px,
                       const AtWork& at_work = {});

/// The pump alone, large, for questions about its valves: waste valve, check valve, vessel, snifter.
void draw_pump(Kit& kit, std::string_view part, float height_px, const OneBeat* moves = nullptr);

} // namespace beckhand::kit
