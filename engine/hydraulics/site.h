// A site as a person describes it: levels, pipes, pump and, where there is one, the record of the pump
// when it was healthy. What nobody has measured is absent, never a made-up number.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/quantity/quantity.h"

namespace beckhand {

enum class PipeMaterial { steel, cast_iron, copper, rigid_plastic, soft_plastic };

[[nodiscard]] std::string_view id_of(PipeMaterial material);            // "steel", "rigid_plastic", ...
[[nodiscard]] std::optional<PipeMaterial> pipe_material(std::string_view id);
[[nodiscard]] const std::vector<PipeMaterial>& all_pipe_materials();

/// Which half of the earth: south of the equator the seasons come half a year later.
enum class Hemisphere { north, south };

[[nodiscard]] std::string_view id_of(Hemisphere hemisphere);            // "north", "south"
[[nodiscard]] std::optional<Hemisphere> hemisphere_of(std::string_view id);

/// Figures of the same pump when it ran well, set down at commissioning or at a proved fix.
///   beat            beats a minute        waste, delivered   flow, delivered taken at the tank
///   running         gauge pressure in the vessel, middle of the swing
struct HealthyRecord {
    std::optional<Frequency> beat;
    std::optional<FlowRate> waste;
    std::optional<FlowRate> delivered;
    std::optional<Pressure> running;
};

/// Heights are counted from the waste valve. Every field but `name` may be missing.
struct Site {
    std::string name;
    std::string access;                      // how to get there, dangers on the way; free words
    std::string call;                        // who to call when it goes wrong; free words
    std::optional<Length> fall;              // water over the pipe mouth down to the waste valve, > 0
    std::optional<Length> lift;              // waste valve up to the delivery outlet, > 0
    std::optional<Length> drive_length;      // along the pipe, > 0
    std::optional<Length> drive_bore;        // inside, > 0
    std::optional<Length> drive_wall;        // wall thickness, > 0
    std::optional<PipeMaterial> drive_material;
    std::optional<Length> pump_bore;         // bore of the pump's inlet, > 0
    std::optional<Length> delivery_length;   // along the pipe, > 0
    std::optional<Length> delivery_bore;     // inside, > 0
    std::optional<Length> delivery_summit;   // highest point of the delivery pipe above the waste valve
    std::optional<FlowRate> source_flow;     // least that the source gives
    std::optional<Volume> vessel_volume;     // air vessel
    std::optional<Length> snifter_hole;      // bore of the snifter
    std::optional<Pressure> drive_rating;    // what the drive pipe is rated for
    std::optional<Celsius> water;            // temperature
    std::optional<Length> altitude;          // above the sea
    std::optional<Hemisphere> hemisphere;    // north where nobody says
    HealthyRecord record;
};

} // namespace beckhand
