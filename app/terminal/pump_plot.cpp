#include "app/terminal/pump_plot.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace beckhand {
namespace {

constexpr double width = 900, left = 78, right = 18, top = 62, pane_height = 150, pane_gap = 34, below = 52;
constexpr double pane_width = width - left - right;
constexpr double beats_shown = 6;

struct Point {
    double t, y;
};

/// What one frame shows, in the units of its axis.
struct Curve {
    std::string words;
    std::vector<Point> points;
};

struct Axis {
    double from = 0, to = 1, step = 1;
    int decimals = 0;
};

/// Round marks, about `marks` of them: steps of 1, 2 or 5 times a power of ten.
Axis axis_for(double low, double high, double marks) {
    if (!(high - low > 1e-9)) { // a line that does not move still wants a frame
        low -= 0.5;
        high += 0.5;
    }
    const double rough = (high - low) / marks, power = std::pow(10.0, std::floor(std::log10(rough)));
    const double by = rough / power;
    const double step = power * (by <= 1 ? 1 : by <= 2 ? 2 : by <= 5 ? 5 : 10);
    const int decimals = std::max(0, static_cast<int>(-std::floor(std::log10(step) + 1e-9)));
    return {step * std::floor(low / step), step * std::ceil(high / step), step, decimals};
}

PlotWords words_at(double x, double y, PlotAnchor anchor, const std::string& words) {
    return {.at = {x, y}, .words = words, .anchor = anchor, .colour = plot_ink};
}

PlotLine rule(double x1, double y1, double x2, double y2) {
    return {.points = {{x1, y1}, {x2, y2}}, .colour = plot_rule};
}

/// Lowest and highest point of every dot's width: a needle of one sample stays to be seen.
std::vector<Point> thinned(const std::vector<Point>& points, double from, double to) {
    std::vector<Point> out;
    std::size_t i = 0;
    while (i < points.size()) {
        const auto dot = [&](std::size_t k) {
            return std::floor((points[k].t - from) / (to - from) * pane_width);
        };
        const double here = dot(i);
        std::size_t low = i, high = i;
        for (; i < points.size() && dot(i) <= here; ++i) {
            low = points[i].y < points[low].y ? i : low;
            high = points[i].y > points[high].y ? i : high;
        }
        out.push_back(points[std::min(low, high)]);
        if (low != high)
            out.push_back(points[std::max(low, high)]);
    }
    return out;
}

void draw_pane(Plot& plot, const Curve& curve, const Axis& time, double y0) {
    double low = 0, high = 0;
    if (!curve.points.empty()) {
        low = high = curve.points.front().y;
    }
    for (const Point& p : curve.points) {
        low = std::min(low, p.y);
        high = std::max(high, p.y);
    }
    const Axis axis = axis_for(low, high, 4);
    const auto x = [&](double t) { return left + (t - time.from) / (time.to - time.from) * pane_width; };
    const auto y = [&](double v) { return y0 + pane_height * (1 - (v - axis.from) / (axis.to - axis.from)); };
    for (double v = axis.from; v < axis.to + axis.step / 2; v += axis.step) {
        plot.marks.emplace_back(rule(left, y(v), left + pane_width, y(v)));
        plot.marks.emplace_back(
            words_at(left - 8, y(v) + 4, PlotAnchor::end,
                     fixed_text(std::fabs(v) < axis.step / 1e6 ? 0 : v, axis.decimals)));
    }
    for (double t = std::ceil(time.from / time.step - 1e-9) * time.step; t < time.to + time.step / 1e6;
         t += time.step) {
        plot.marks.emplace_back(rule(x(t), y0, x(t), y0 + pane_height));
    }
    PlotLine line{.points = {}, .colour = plot_curve, .width = 1.6};
    for (const Point& p : thinned(curve.points, time.from, time.to))
        line.points.push_back({x(p.t), y(p.y)});
    PlotWords heading = words_at(left, y0 - 8, PlotAnchor::start, curve.words);
    heading.size = 14;
    heading.bold = true;
    plot.marks.emplace_back(heading);
    plot.marks.emplace_back(std::move(line));
}

} // namespace

Plot pump_plot(const PumpAnswer& a, Units units) {
    const std::vector<PumpSample>& series = a.run.series;
    const double end = series.empty() ? a.options.seconds : series.back().time_s;
    const bool runs = a.run.rest == ValveRest::runs && a.run.beat.si() > 0;
    const double from = runs ? std::max(0.0, end - beats_shown / a.run.beat.si()) : 0;
    const double area = std::acos(-1.0) / 4 * a.design.drive.bore_m * a.design.drive.bore_m;
    const auto unit = [&](Figure kind) { return ", " + std::string(unit_word(kind, units)); };
    std::vector<Curve> curves{{"Speed in the drive pipe, at the pump" + unit(Figure::speed), {}},
                              {"Head at the waste valve" + unit(Figure::length), {}},
                              {"Head in the air vessel" + unit(Figure::length), {}},
                              {"Opening of the waste valve" + unit(Figure::bore), {}}};
    for (const PumpSample& s : series) {
        if (s.time_s < from)
            continue;
        curves[0].points.push_back({s.time_s, number_in(Figure::speed, s.drive_m3s / area, units)});
        curves[1].points.push_back({s.time_s, number_in(Figure::length, s.body_head_m, units)});
        curves[2].points.push_back({s.time_s, number_in(Figure::length, s.vessel_head_m, units)});
        curves[3].points.push_back({s.time_s, number_in(Figure::bore, s.valve_m, units)});
    }
    Axis time = axis_for(from, end, 10);
    time.from = from; // the frame ends where the samples do
    time.to = std::max(end, from + 1e-6);

    const double panes = static_cast<double>(curves.size());
    const double height = top + panes * pane_height + (panes - 1) * pane_gap + below;
    std::string title = (a.site.empty() ? std::string("Virtual pump") : a.site + ": virtual pump");
    title += a.question.fault
                 ? ", " + a.question.fault->cause.id + " " + significant_text(a.question.fault->severity)
                 : std::string(", sound");
    title += runs                            ? ", its last six beats"
             : a.run.rest == ValveRest::open ? ", comes to rest open"
                                             : ", comes to rest shut";
    Plot plot{.width = width, .height = height, .title = title, .marks = {}};
    PlotWords headline = words_at(left, 22, PlotAnchor::start, title);
    headline.size = 16;
    headline.bold = true;
    plot.marks.emplace_back(headline);
    double y0 = top;
    for (const Curve& curve : curves) {
        draw_pane(plot, curve, time, y0);
        y0 += pane_height + pane_gap;
    }
    const double base = height - below;
    for (double t = std::ceil(time.from / time.step - 1e-9) * time.step; t < time.to + time.step / 1e6;
         t += time.step) {
        plot.marks.emplace_back(words_at(left + (t - time.from) / (time.to - time.from) * pane_width, base + 18,
                                         PlotAnchor::middle, fixed_text(t, time.decimals)));
    }
    plot.marks.emplace_back(words_at(left + pane_width / 2, base + 40, PlotAnchor::middle, "Time, s"));
    return plot;
}

} // namespace beckhand
