// A figure over time: points with error bars, the band a healthy pump lies in, gaps, repairs, dates. Plain
// numbers in the units of the reader; who calls says what they mean.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/kit/kit.h"

namespace beckhand::kit {

enum class ChartSign { found, left, warned };   // disc, ring, triangle: never by colour alone

struct ChartPoint {
    double x = 0, y = 0, error = 0;   // bar of one standard deviation up and down
    ChartSign sign = ChartSign::found;
};
struct ChartBand { double x = 0, least = 0, likely = 0, most = 0; };
struct ChartTick { double x = 0; std::string label; };

struct Chart {
    std::string unit;                 // "Delivered flow, L/min": above the axis
    std::vector<ChartPoint> points;   // by x
    std::vector<ChartBand> band;      // by x; at least two to be drawn
    std::vector<double> gaps;         // somebody was there, nothing was measured: a short stroke at the foot
    std::vector<double> repairs;      // dashed upright lines
    std::vector<ChartTick> ticks;     // left out where their words would touch
};

/// A round step (1, 2 or 5 times a power of ten) that cuts `span` into at most `most` parts. span > 0.
[[nodiscard]] double chart_step(double span, int most);

/// `spoken` is what is read aloud in its place.
void draw_chart(Kit& kit, const Chart& chart, float height_px, std::string_view spoken);

} // namespace beckhand::kit
