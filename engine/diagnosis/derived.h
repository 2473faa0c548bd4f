// Figures that follow from measurements and the site: yield, ratios to the record, ratios of the drive
// pipe. They turn what a person measured into the answers of "measured" observations.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/diagnosis/pack.h"
#include "engine/diagnosis/visit.h"
#include "engine/hydraulics/expectation.h"
#include "engine/quantity/text.h"

namespace beckhand {

/// A figure with one standard deviation, both in the derived quantity's own unit.
struct Derived {
    double value = 0;
    double sigma = 0;
    std::string words;      // how it was got: "delivered 4.0 L/min x lift 14.0 m / ..."
};

/// One standard deviation of a figure taken with this care, in the measurement's unit.
[[nodiscard]] double error_of(const Measurement& how, double value, Care care = Care::careful);

/// The same for a figure that was taken: as the pack says for its care, or coarser where the way of measuring was.
[[nodiscard]] double error_of(const Measurement& how, const Measured& taken);

/// What a measurement should show at a site, SI. Nothing where nothing is expected of it, or the site sheet
/// has gaps.
[[nodiscard]] std::optional<Expected<double>> wanted_figure(std::string_view measurement, const Expectation&);

/// Readings by measurement id, SI with one standard deviation.
struct Reading { double value = 0, sigma = 0; };
using Readings = std::map<std::string, Reading>;

/// The measurements of a visit with the error the pack gives for the care taken, joined with what the
/// site sheet already says (H, Lift, Ld, Db, Le, De with a modest error) where nothing was measured.
[[nodiscard]] Readings readings_of(const Pack&, const Site&, const std::map<std::string, Measured>& measured);

/// Names a pack may use in Bands::quantity.
[[nodiscard]] const std::vector<std::string>& derived_quantities();

/// The derived quantity, or nothing where a figure for it is missing. `units` are those of its words.
[[nodiscard]] std::optional<Derived> derive(std::string_view quantity, const Readings&, const Expectation&,
                                            Units units = Units::metric);

/// What `waste_ratio` gives when nothing is delivered: beyond any edge but this.
inline constexpr double all_is_wasted = 1000;

/// Chance of each band given a derived figure and its error; sums to one.
[[nodiscard]] std::vector<double> band_chances(const Bands&, const Derived&);

} // namespace beckhand
