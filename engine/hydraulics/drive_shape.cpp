// Soft-edged bands over the three ratios of a drive pipe.
#include "engine/hydraulics/drive_shape.h"

#include <algorithm>
#include <cmath>

namespace beckhand {

namespace {

// A tape errs by a few per cent and a bore by a millimetre, so five per cent beyond an edge is nearly
// certain.
double beyond(double value, double edge) {
    return 1 / (1 + std::exp(-std::log(value / edge) / 0.02));
}

std::optional<double> ratio(const std::optional<Length>& top, const std::optional<Length>& bottom) {
    if (!top || !bottom || *top <= Length{} || *bottom <= Length{}) {
        return std::nullopt;
    }
    return *top / *bottom;
}

struct Outside {
    double below = 0, above = 0;
};

Outside outside(const std::optional<double>& value, double least, double most) {
    if (!value) {
        return {};
    }
    return {1 - beyond(*value, least), beyond(*value, most)};
}

// Both rules broken: nearly certain. One: half.
double agreed(double a, double b) {
    return 0.95 * a * b + 0.5 * (a * (1 - b) + b * (1 - a));
}

} // namespace

std::optional<std::map<std::string, double>> drive_shape_chances(const Site& site) {
    const auto by_fall = ratio(site.drive_length, site.fall);
    const auto by_bore = ratio(site.drive_length, site.drive_bore);
    const auto by_pump = ratio(site.drive_bore, site.pump_bore);
    if (!by_fall && !by_bore && !by_pump) {
        return std::nullopt;
    }

    const Outside f = outside(by_fall, least_length_by_fall, most_length_by_fall);
    const Outside b = outside(by_bore, least_length_by_bore, most_length_by_bore);
    const Outside p = outside(by_pump, least_bore_by_pump, most_bore_by_pump);
    const double is_short = agreed(f.below, b.below), is_long = agreed(f.above, b.above);
    const double narrow = 0.95 * p.below, wide = 0.95 * p.above;
    const double in_band = std::max(1 - is_short - is_long, 0.0) * std::max(1 - narrow - wide, 0.0);

    // A floor, because a site sheet can simply be wrong and one figure must not rule a cause out for good.
    std::map<std::string, double> chances{
        {"in_band", in_band}, {"short", is_short}, {"long", is_long}, {"wide", wide}, {"narrow", narrow}};
    double sum = 0;
    for (auto& answer : chances) {
        sum += answer.second = std::max(answer.second, 0.005);
    }
    for (auto& answer : chances) {
        answer.second /= sum;
    }
    return chances;
}

} // namespace beckhand
