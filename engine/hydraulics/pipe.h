// Pipes: what they are made of, how rough inside, how stiff the wall, and what a rigid plastic pipe holds.
#pragma once

#include <string_view>

#include "engine/hydraulics/site.h"
#include "engine/quantity/quantity.h"

namespace beckhand {

/// What a pipe's stuff does to flow and to a pressure wave. `source` is for a person to read.
struct MaterialData {
    Pressure modulus; // Young's
    double poisson;
    Length roughness;      // equivalent sand roughness of new pipe
    double hazen_williams; // C
    std::string_view source;
};

/// Steel is taken as galvanised threaded pipe, the usual drive pipe, so its roughness is that of
/// galvanised iron (0.15 mm), not of plain new steel (0.046 mm, EPANET 2.2 User Manual).
[[nodiscard]] const MaterialData& material_data(PipeMaterial material);

struct Pipe {
    Length length; // along the pipe
    Length bore;   // inside diameter
    Length wall;   // thickness; zero where nobody measured it
    PipeMaterial material = PipeMaterial::steel;
    Length roughness;
};

/// A pipe of this material with the roughness of material_data().
[[nodiscard]] Pipe make_pipe(Length length, Length bore, Length wall, PipeMaterial material);

[[nodiscard]] Area area_of_bore(Length bore);
[[nodiscard]] Length bore_of_area(Area area);
[[nodiscard]] Volume volume_of(const Pipe& pipe);

/// Wall to assume where nobody measured it: ASME B36.10 / ASTM D1785 Schedule 40 for steel and rigid
/// plastic (between the listed bores by straight line, beyond them in proportion), DR 11 for soft plastic
/// (wall = bore / 9), copper bore / 20 and cast iron bore / 10 but at least 6 mm (both from memory).
[[nodiscard]] Length usual_wall(PipeMaterial material, Length bore);

/// Steady pressure rating of PVC 1120 pipe at 23 C: P = 2 S t / (D - t), D outside, S 2000 psi
/// (the rule of ASTM D1785). Zero for a wall that makes no pipe.
[[nodiscard]] Pressure pvc_rating(Length outside, Length wall);

/// What is left of a PVC rating in warm water, 1 at 23 C and below, 0.22 at 60 C, the service limit, and 0
/// above it. Published factors at 73, 80, 90 ... 140 F, straight lines between.
[[nodiscard]] double pvc_temperature_factor(Celsius temperature);

} // namespace beckhand
