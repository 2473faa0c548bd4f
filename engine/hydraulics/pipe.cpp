// Pipe materials with their sources, usual walls from the pipe standards, and the rating of rigid plastic.
#include "engine/hydraulics/pipe.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <numbers>

namespace beckhand {

const MaterialData& material_data(PipeMaterial material) {
    static const MaterialData steel{
        gigapascals(200), 0.30, millimetres(0.15), 120,
        "E: Japan MAFF pipeline design manual; roughness and C of galvanised iron: EPANET 2.2 User Manual; "
        "Poisson from memory"};
    static const MaterialData cast_iron{
        gigapascals(100), 0.26, millimetres(0.26), 130,
        "roughness and C: EPANET 2.2 User Manual; E (80 to 170 GPa by grade) and Poisson from memory"};
    static const MaterialData copper{
        gigapascals(117), 0.34, millimetres(0.0015), 140,
        "E: He, Li & Guo, Processes 13:3510 (2025); Poisson, roughness of drawn tube and C from memory"};
    static const MaterialData rigid_plastic{
        gigapascals(2.9), 0.41, millimetres(0.0015), 150,
        "E 420 000 psi and Poisson: PVC cell class data sheet; roughness and C: EPANET 2.2 User Manual"};
    static const MaterialData soft_plastic{
        gigapascals(1.0), 0.45, millimetres(0.0015), 150,
        "E of polyethylene: Japan MAFF pipeline design manual; roughness and C: EPANET 2.2 User Manual; "
        "Poisson from memory"};
    switch (material) {
    case PipeMaterial::steel:
        return steel;
    case PipeMaterial::cast_iron:
        return cast_iron;
    case PipeMaterial::copper:
        return copper;
    case PipeMaterial::rigid_plastic:
        return rigid_plastic;
    case PipeMaterial::soft_plastic:
        return soft_plastic;
    }
    return steel;
}

Pipe make_pipe(Length length, Length bore, Length wall, PipeMaterial material) {
    return Pipe{length, bore, wall, material, material_data(material).roughness};
}

Area area_of_bore(Length bore) {
    return bore * bore * (std::numbers::pi / 4);
}

Length bore_of_area(Area area) {
    return metres(std::sqrt(4 * std::max(area.si(), 0.0) / std::numbers::pi));
}

Volume volume_of(const Pipe& pipe) {
    return area_of_bore(pipe.bore) * pipe.length;
}

Length usual_wall(PipeMaterial material, Length bore) {
    if (bore <= Length{}) {
        return Length{};
    }
    struct Row {
        double bore_mm, wall_mm;
    };
    // ASME B36.10 Schedule 40, 1/2 to 4 in; ASTM D1785 PVC has the same walls to 0.01 mm.
    static constexpr std::array<Row, 9> schedule_40{{{15.76, 2.77},
                                                     {20.96, 2.87},
                                                     {26.64, 3.38},
                                                     {35.08, 3.56},
                                                     {40.94, 3.68},
                                                     {52.48, 3.91},
                                                     {62.68, 5.16},
                                                     {77.92, 5.49},
                                                     {102.26, 6.02}}};
    switch (material) {
    case PipeMaterial::copper:
        return bore / 20;
    case PipeMaterial::cast_iron:
        return std::max(bore / 10, millimetres(6));
    case PipeMaterial::soft_plastic:
        return bore / 9;
    case PipeMaterial::steel:
    case PipeMaterial::rigid_plastic:
        break;
    }
    const double d = bore.in(millimetres);
    if (d <= schedule_40.front().bore_mm) {
        return bore * (schedule_40.front().wall_mm / schedule_40.front().bore_mm);
    }
    if (d >= schedule_40.back().bore_mm) {
        return bore * (schedule_40.back().wall_mm / schedule_40.back().bore_mm);
    }
    const auto above =
        std::find_if(schedule_40.begin(), schedule_40.end(), [d](const Row& r) { return r.bore_mm > d; });
    const auto below = std::prev(above);
    const double share = (d - below->bore_mm) / (above->bore_mm - below->bore_mm);
    return millimetres(below->wall_mm + share * (above->wall_mm - below->wall_mm));
}

Pressure pvc_rating(Length outside, Length wall) {
    if (wall <= Length{} || outside <= 2 * wall) {
        return Pressure{};
    }
    return psi(2 * 2000.0) * (wall / (outside - wall));
}

double pvc_temperature_factor(Celsius temperature) {
    struct Row {
        double fahrenheit, factor;
    };
    static constexpr std::array<Row, 8> rows{{{73, 1.00},
                                              {80, 0.88},
                                              {90, 0.75},
                                              {100, 0.62},
                                              {110, 0.50},
                                              {120, 0.40},
                                              {130, 0.30},
                                              {140, 0.22}}};
    const double f = temperature.degrees * 1.8 + 32;
    if (f <= rows.front().fahrenheit) {
        return 1;
    }
    if (f > rows.back().fahrenheit + 1e-9) {
        return 0;
    }
    const auto above =
        std::find_if(rows.begin(), std::prev(rows.end()), [f](const Row& r) { return r.fahrenheit > f; });
    const auto below = std::prev(above);
    const double share = (f - below->fahrenheit) / (above->fahrenheit - below->fahrenheit);
    return below->factor + share * (above->factor - below->factor);
}

} // namespace beckhand
