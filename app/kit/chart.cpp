#include "app/kit/chart.h"

#include <algorithm>
#include <cmath>

#include <imgui.h>

#include "app/kit/shapes.h"
#include "engine/quantity/text.h"

namespace beckhand::kit {
namespace {

struct Range { double low = 0, high = 1; };

/// From nothing, or from below the least where that is far from nothing, to a little over the most.
Range range_of(const Chart& chart) {
    double low = 1e300, high = -1e300;
    for (const ChartPoint& p : chart.points) {
        low = std::min(low, p.y - p.error);
        high = std::max(high, p.y + p.error);
    }
    for (const ChartBand& b : chart.band) {
        low = std::min(low, b.least);
        high = std::max(high, b.most);
    }
    if (low > high) return {};
    if (low < 0.5 * high) low = 0;
    const double over = std::max(0.08 * (high - low), 1e-9 + 0.02 * std::abs(high));
    return {low <= 0 ? 0 : low - over, high + over};
}

struct Frame {
    Kit& kit;
    ImDrawList& ink;
    const Palette& palette;
    const Metrics& m;
    Box plot;
    float left; // of the whole chart
    Range x, y;

    [[nodiscard]] float px(double at) const {
        return plot.x + static_cast<float>((at - x.low) / (x.high - x.low)) * plot.w;
    }
    [[nodiscard]] float py(double at) const {
        return plot.y + plot.h - static_cast<float>((at - y.low) / (y.high - y.low)) * plot.h;
    }
};

int decimals_of(double step) { return std::clamp(static_cast<int>(std::ceil(-std::log10(step) - 1e-9)), 0, 3); }

void draw_axes(const Frame& f, const Chart& chart, double step) {
    const Colour grid = mix(f.palette.line, f.palette.paper, 0.6f);
    for (double at = std::ceil(f.y.low / step) * step; at <= f.y.high + 1e-9 * step; at += step) {
        const std::string label = fixed_text(at, decimals_of(step));
        const float y = f.py(at), w = f.kit.width_of(Type::small, label);
        f.ink.AddLine({f.plot.x, y}, {f.plot.x + f.plot.w, y}, paint(grid), 1.0f);
        f.kit.write(f.plot.x - w - f.m.mm(1.0f), y - f.m.small / 2, Type::small, f.palette.quiet, label);
    }
    float free_from = f.plot.x - f.m.mm(5);
    for (const ChartTick& tick : chart.ticks) {
        const float x = f.px(tick.x), w = f.kit.width_of(Type::small, tick.label);
        const float left = std::clamp(x - w / 2, f.plot.x - f.m.mm(4), f.plot.x + f.plot.w - w);
        f.ink.AddLine({x, f.plot.y + f.plot.h}, {x, f.plot.y + f.plot.h + f.m.mm(1)}, paint(f.palette.line), f.m.stroke);
        if (left < free_from) continue;
        f.kit.write(left, f.plot.y + f.plot.h + f.m.mm(1.4f), Type::small, f.palette.quiet, tick.label);
        free_from = left + w + f.m.mm(2);
    }
    f.ink.AddLine({f.plot.x, f.plot.y}, {f.plot.x, f.plot.y + f.plot.h}, paint(f.palette.line), f.m.stroke);
    f.ink.AddLine({f.plot.x, f.plot.y + f.plot.h}, {f.plot.x + f.plot.w, f.plot.y + f.plot.h}, paint(f.palette.line),
                  f.m.stroke);
    // At the axis, or further left where its words are long.
    const float unit_w = f.kit.width_of(Type::small, chart.unit);
    const float unit_x = std::max(f.left, std::min(f.plot.x + f.m.mm(1), f.plot.x + f.plot.w - unit_w));
    f.kit.write(unit_x, f.plot.y - f.m.small - f.m.mm(0.6f), Type::small, f.palette.quiet, chart.unit);
}

void draw_band(const Frame& f, const Chart& chart) {
    const Colour shade = mix(f.palette.water, f.palette.paper, 0.72f);
    // Softened edges would show as seams where two pieces meet.
    const ImDrawListFlags flags = f.ink.Flags;
    f.ink.Flags &= ~ImDrawListFlags_AntiAliasedFill;
    for (std::size_t i = 1; i < chart.band.size(); ++i) {
        const ChartBand &a = chart.band[i - 1], &b = chart.band[i];
        const float left = f.px(a.x), right = f.px(b.x) + 1.0f; // a pixel over the next piece
        f.ink.AddQuadFilled({left, f.py(a.most)}, {right, f.py(b.most)}, {right, f.py(b.least)}, {left, f.py(a.least)},
                            paint(shade));
    }
    f.ink.Flags = flags;
    for (std::size_t i = 1; i < chart.band.size(); ++i) {
        const ChartBand &a = chart.band[i - 1], &b = chart.band[i];
        f.ink.AddLine({f.px(a.x), f.py(a.likely)}, {f.px(b.x), f.py(b.likely)}, paint(f.palette.water), f.m.stroke);
    }
}

void draw_point(const Frame& f, const ChartPoint& p) {
    const ImVec2 at{f.px(p.x), f.py(p.y)};
    const float r = f.m.mm(1.15f), cap = f.m.mm(0.7f);
    const Colour ink = f.palette.ink;
    if (p.error > 0) {
        const float top = f.py(p.y + p.error), foot = f.py(std::max(p.y - p.error, f.y.low));
        f.ink.AddLine({at.x, top}, {at.x, foot}, paint(ink), f.m.stroke);
        for (const float end : {top, foot}) f.ink.AddLine({at.x - cap, end}, {at.x + cap, end}, paint(ink), f.m.stroke);
    }
    switch (p.sign) {
        case ChartSign::found: f.ink.AddCircleFilled(at, r, paint(ink), 20); break;
        case ChartSign::left:
            f.ink.AddCircleFilled(at, r, paint(f.palette.paper), 20);
            f.ink.AddCircle(at, r, paint(ink), 20, f.m.mm(0.5f));
            break;
        case ChartSign::warned:
            f.ink.AddTriangleFilled({at.x, at.y - 1.7f * r}, {at.x + 1.6f * r, at.y + r}, {at.x - 1.6f * r, at.y + r},
                                    paint(f.palette.stop));
            f.ink.AddTriangle({at.x, at.y - 1.7f * r}, {at.x + 1.6f * r, at.y + r}, {at.x - 1.6f * r, at.y + r}, paint(ink),
                              f.m.stroke);
            break;
    }
}

/// The line from figure to figure; it breaks where a repair lies between.
void draw_line(const Frame& f, const Chart& chart) {
    for (std::size_t i = 1; i < chart.points.size(); ++i) {
        const ChartPoint &a = chart.points[i - 1], &b = chart.points[i];
        if (b.sign == ChartSign::left && a.sign != ChartSign::left) continue;
        f.ink.AddLine({f.px(a.x), f.py(a.y)}, {f.px(b.x), f.py(b.y)}, paint(f.palette.ink), f.m.stroke);
    }
}

} // namespace

double chart_step(double span, int most) {
    const double rough = span / most, power = std::pow(10.0, std::floor(std::log10(rough)));
    for (const double times : {1.0, 2.0, 5.0}) {
        if (times * power >= rough * (1 - 1e-9)) return times * power;
    }
    return 10 * power;
}

void draw_chart(Kit& kit, const Chart& chart, float height_px, std::string_view spoken) {
    const Metrics& m = kit.metrics();
    const Box box = kit.canvas(height_px, spoken);
    if (box.h <= 0) return;
    const Range y = range_of(chart);
    const double step = chart_step(y.high - y.low, 5);
    float labels = 0;
    for (double at = std::ceil(y.low / step) * step; at <= y.high + 1e-9 * step; at += step) {
        labels = std::max(labels, kit.width_of(Type::small, fixed_text(at, decimals_of(step))));
    }
    Range x{1e300, -1e300};
    const auto hold = [&x](double at) { x = {std::min(x.low, at), std::max(x.high, at)}; };
    for (const ChartPoint& p : chart.points) hold(p.x);
    for (const ChartBand& b : chart.band) hold(b.x);
    for (const double at : chart.gaps) hold(at);
    if (x.low > x.high) x = {0, 1};
    const double side = std::max(0.03 * (x.high - x.low), 0.5);
    x = {x.low - side, x.high + side};
    const float left = labels + m.mm(2), top = m.small + m.mm(1.2f), foot = m.small + m.mm(2);
    const Frame f{kit, *kit.ink(), kit.palette(), m, {box.x + left, box.y + top, box.w - left, box.h - top - foot}, box.x, x, y};
    draw_band(f, chart);
    Chart inside = chart;
    std::erase_if(inside.ticks, [&](const ChartTick& t) { return t.x < x.low || t.x > x.high; });
    draw_axes(f, inside, step);
    for (const double at : chart.repairs) {
        dashed(f.ink, f.palette.ink, {f.px(at), f.plot.y}, {f.px(at), f.plot.y + f.plot.h}, m.stroke, m.mm(1.2f));
    }
    for (const double at : chart.gaps) {
        f.ink.AddLine({f.px(at), f.plot.y + f.plot.h - m.mm(2)}, {f.px(at), f.plot.y + f.plot.h}, paint(f.palette.ink),
                      m.mm(0.5f));
    }
    draw_line(f, chart);
    for (const ChartPoint& p : chart.points) draw_point(f, p);
}

} // namespace beckhand::kit
