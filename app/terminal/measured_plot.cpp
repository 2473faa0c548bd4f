// Measured rams against the virtual pump as a plot.
#include <algorithm>
#include <array>
#include <cmath>

#include "app/terminal/measured_rams.h"
#include "engine/quantity/text.h"

namespace beckhand {
namespace {

constexpr double pane = 330, left = 74, top = 72, across = 430, down = 424;
constexpr PlotColour band_colour{0xdf, 0xee, 0xe6};

struct SpotLook {
    PlotSign sign;
    PlotColour colour;
    bool hollow;
};
/// Told apart by shape, not by colour alone.
constexpr std::array looks{SpotLook{PlotSign::disc, {0x0b, 0x55, 0x63}, false},
                           SpotLook{PlotSign::square, {0xa8, 0x3a, 0x1c}, false},
                           SpotLook{PlotSign::square, {0xa8, 0x3a, 0x1c}, true},
                           SpotLook{PlotSign::triangle, {0x5a, 0x3d, 0x8a}, false},
                           SpotLook{PlotSign::disc, {0x22, 0x34, 0x3a}, true},
                           SpotLook{PlotSign::triangle, {0x3c, 0x6e, 0x1f}, true},
                           SpotLook{PlotSign::cross, {0x22, 0x34, 0x3a}, false}};

PlotWords words_at(double x, double y, PlotAnchor anchor, const std::string& words, double size = 13,
                   bool bold = false) {
    return {.at = {x, y}, .words = words, .size = size, .anchor = anchor, .bold = bold, .colour = plot_ink};
}

/// Marks of a logarithmic axis: 1, 2 and 5 of every decade where there are few, else the decades.
std::vector<double> marks_between(double low, double high) {
    std::vector<double> marks;
    const bool wide = high / low > 200;
    for (double decade = std::pow(10.0, std::floor(std::log10(low))); decade <= high; decade *= 10) {
        for (const double step : {1.0, 2.0, 5.0}) {
            const double mark = decade * step;
            if (mark >= low * 0.999 && mark <= high * 1.001 && (!wide || step < 1.5))
                marks.push_back(mark);
        }
    }
    return marks;
}

void draw_pane(Plot& plot, double x0, double y0, const std::string& title, double band,
               const std::vector<const ComparedFigure*>& figures, const MeasuredRams& rams) {
    double low = 1e300, high = 0;
    for (const ComparedFigure* f : figures) {
        low = std::min(low, f->measured * f->in_plot);
        high = std::max(high, f->measured * f->in_plot);
        if (f->computed > 0) {
            low = std::min(low, std::max(f->computed, f->measured / 5) * f->in_plot);
            high = std::max(high, std::min(f->computed, f->measured * 5) * f->in_plot);
        }
    }
    // Room about the marks, and at least half a decade.
    const double wider = std::max(1.3, std::sqrt(4 * low / high));
    low /= wider;
    high *= wider;
    const double span = std::log(high / low);
    const auto along = [&](double v) { return std::clamp(std::log(v / low) / span, 0.0, 1.0) * pane; };
    const auto x = [&](double v) { return x0 + along(v); };
    const auto y = [&](double v) { return y0 + pane - along(v); };
    PlotArea area{.corners = {}, .colour = band_colour};
    if (band < 1) {
        // Both edges of the band cut the pane's corners off.
        area.corners = {{x(low), y(low)},   {x(low), y(low * (1 + band))},   {x(high / (1 + band)), y(high)},
                        {x(high), y(high)}, {x(high), y(high * (1 - band))}, {x(low / (1 - band)), y(low)}};
        plot.marks.emplace_back(area);
    }
    for (const double v : marks_between(low, high)) {
        plot.marks.emplace_back(PlotLine{.points = {{x(v), y0}, {x(v), y0 + pane}}, .colour = plot_rule});
        plot.marks.emplace_back(PlotLine{.points = {{x0, y(v)}, {x0 + pane, y(v)}}, .colour = plot_rule});
        plot.marks.emplace_back(words_at(x(v), y0 + pane + 17, PlotAnchor::middle, significant_text(v)));
        plot.marks.emplace_back(words_at(x0 - 7, y(v) + 4, PlotAnchor::end, significant_text(v)));
    }
    plot.marks.emplace_back(
        PlotLine{.points = {{x(low), y(low)}, {x(high), y(high)}}, .colour = plot_ink, .width = 1.4});
    plot.marks.emplace_back(words_at(x0, y0 - 10, PlotAnchor::start, title, 14, true));
    plot.marks.emplace_back(words_at(x0 + pane, y0 + pane + 35, PlotAnchor::end, "measured"));
    plot.marks.emplace_back(words_at(x0 + 6, y0 + 16, PlotAnchor::start, "computed"));
    for (const ComparedFigure* f : figures) {
        std::size_t machine = 0;
        while (machine + 1 < rams.machines.size() && rams.machines[machine].name != f->machine)
            ++machine;
        const SpotLook sign = looks[machine % looks.size()];
        const double computed = std::max(f->computed * f->in_plot, low);
        plot.marks.emplace_back(PlotSpot{.at = {x(f->measured * f->in_plot), y(computed)},
                                         .size = 9,
                                         .sign = sign.sign,
                                         .colour = sign.colour,
                                         .hollow = sign.hollow});
    }
}

} // namespace

Plot compared_plot(const MeasuredRams& rams, const std::vector<ComparedFigure>& figures) {
    struct Pane {
        BandKind kind;
        const char* title;
    };
    constexpr std::array panes{Pane{BandKind::flow, "Flow, l/min"}, Pane{BandKind::efficiency, "Efficiency"},
                               Pane{BandKind::beats, "Beats a minute"}, Pane{BandKind::head, "Head, m"}};
    const auto met =
        std::count_if(figures.begin(), figures.end(), [](const ComparedFigure& f) { return f.in_band; });
    Plot plot{.width = left + across + pane + 30,
              .height = 0,
              .title = "Measured rams against the virtual pump: " + std::to_string(met) + " of " +
                       std::to_string(figures.size()) + " figures within their bands",
              .marks = {}};
    plot.marks.emplace_back(words_at(left, 26, PlotAnchor::start, plot.title, 16, true));
    int drawn = 0;
    for (const Pane& p : panes) {
        std::vector<const ComparedFigure*> of_kind;
        for (const ComparedFigure& f : figures) {
            if (f.kind == p.kind)
                of_kind.push_back(&f);
        }
        if (of_kind.empty())
            continue;
        const double band = rams.bands.at(p.kind), x0 = left + across * (drawn % 2),
                     y0 = top + down * (drawn / 2);
        draw_pane(plot, x0, y0, std::string(p.title) + ", band " + significant_text(100 * band, 2) + " %",
                  band, of_kind, rams);
        ++drawn;
    }
    double y = top + down * ((drawn + 1) / 2) + 2;
    for (std::size_t i = 0; i < rams.machines.size(); ++i) {
        const SpotLook sign = looks[i % looks.size()];
        const double x = left + across * static_cast<double>(i % 2);
        plot.marks.emplace_back(PlotSpot{.at = {x + 6, y - 5},
                                         .size = 9,
                                         .sign = sign.sign,
                                         .colour = sign.colour,
                                         .hollow = sign.hollow});
        plot.marks.emplace_back(words_at(x + 20, y, PlotAnchor::start, rams.machines[i].name));
        if (i % 2 == 1 || i + 1 == rams.machines.size())
            y += 22;
    }
    plot.height = y + 6;
    return plot;
}

} // namespace beckhand
