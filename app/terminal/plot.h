// A plot as a list of marks in dots from the upper left corner, drawn in order. svg_of() writes it as
// SVG 1.1; the desktop draws the same list with letters of its own as PNG.
#pragma once

#include <cstdint>
#include <string>
#include <variant>
#include <vector>

namespace beckhand {

struct PlotColour {
    std::uint8_t r = 0, g = 0, b = 0;
};
struct PlotPoint {
    double x = 0, y = 0;
};
struct PlotLine {
    std::vector<PlotPoint> points;
    PlotColour colour;
    double width = 1;
    bool dashed = false;
};
/// Filled, convex.
struct PlotArea {
    std::vector<PlotPoint> corners;
    PlotColour colour;
};
enum class PlotSign { disc, square, triangle, cross };
struct PlotSpot {
    PlotPoint at;
    double size = 8; // across
    PlotSign sign = PlotSign::disc;
    PlotColour colour;
    bool hollow = false;
};
enum class PlotAnchor { start, middle, end };
/// `at` is on the foot of the letters.
struct PlotWords {
    PlotPoint at;
    std::string words;
    double size = 13; // of the letters
    PlotAnchor anchor = PlotAnchor::start;
    bool bold = false;
    PlotColour colour;
};

using PlotMark = std::variant<PlotLine, PlotArea, PlotSpot, PlotWords>;

struct Plot {
    double width = 900, height = 700;
    std::string title; // for readers that cannot see it
    std::vector<PlotMark> marks;
};

inline constexpr PlotColour plot_ink{0x22, 0x34, 0x3a}, plot_rule{0xc9, 0xd3, 0xd6},
    plot_curve{0x0b, 0x55, 0x63};

[[nodiscard]] std::string svg_of(const Plot& plot);

} // namespace beckhand
