// The geometry of the cross-section, in metres and without a screen. Heights keep their proportions between
// 1.2 and 2.6 falls of lift, so that both can be read; outside of that they are drawn nearer together and the
// drawing says so. The drive pipe keeps its length between 1.3 and 12 falls, the delivery run its proportion
// to the drive pipe between 0.7 and 1.1.
#include "app/kit/installation.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace beckhand::kit {

namespace {

// Only for drawing what nobody has measured yet; never printed.
constexpr double usual_fall = 2.0, usual_lift_per_fall = 3.0, usual_length_per_fall = 5.0, usual_slope = 3.0;

double length_of(const std::optional<Length>& length, double otherwise) {
    const double m = length ? length->in(metres) : otherwise;
    return std::isfinite(m) && m > 0.0 ? m : otherwise;
}

double kept_between(double value, double low, double high, bool& is_true) {
    const double kept = std::clamp(value, low, high);
    is_true = is_true && kept == value;
    return kept;
}

} // namespace

Section section_of(const Site& site) {
    Section s;
    const double fall = length_of(site.fall, usual_fall);
    const double lift_true = length_of(site.lift, usual_lift_per_fall * fall);
    const double lift = kept_between(lift_true, 1.2 * fall, 2.6 * fall, s.heights_true);
    const double drive = kept_between(length_of(site.drive_length, usual_length_per_fall * fall), 1.3 * fall,
                                      12.0 * fall, s.lengths_true);
    s.heights_true = s.heights_true && site.fall && site.lift;
    s.lengths_true = s.lengths_true && site.drive_length && site.delivery_length;

    // The mouth of the pipe lies under water.
    const double mouth = 0.88 * fall;
    const double run = std::sqrt(drive * drive - mouth * mouth);
    s.intake = {0.0, mouth};
    s.drive_foot = {run, 0.0};
    const double pump_run = 0.34 * run;
    s.pump = {run + 0.25 * pump_run, 0.0};
    s.vessel_top = {run + 0.70 * pump_run, 0.35 * fall};
    s.delivery_foot = {run + pump_run, 0.0};

    const double along = length_of(site.delivery_length, usual_slope * lift_true);
    const double level = std::sqrt(std::max(0.0, along * along - lift_true * lift_true));
    const double delivery_run = kept_between(level, 0.7 * run, 1.1 * run, s.lengths_true);
    const double summit_true = length_of(site.delivery_summit, lift_true);
    const bool hump = summit_true > lift_true * 1.001;
    const double summit =
        hump ? kept_between(lift * summit_true / lift_true, 1.12 * lift, 1.4 * lift, s.heights_true) : lift;
    s.tank = {s.delivery_foot.x + delivery_run, lift};
    s.summit = hump ? Section::Point{s.delivery_foot.x + 0.66 * delivery_run, summit} : s.tank;

    s.drive_pipe = {s.intake, s.drive_foot};
    // Up the slope to the foot of the tank, then up its wall.
    const double under = 0.09 * fall, bank = 0.16 * run, shelf = 0.16 * run;
    const double floor = 0.78 * lift - under; // the tank stands here; its outlet is at the lift
    s.delivery_pipe = {s.delivery_foot, {s.delivery_foot.x + 0.18 * delivery_run, 0.12 * lift}};
    if (hump) {
        s.delivery_pipe.push_back(s.summit);
    }
    s.delivery_pipe.push_back({s.delivery_foot.x + 0.92 * delivery_run, floor + under});
    s.delivery_pipe.push_back(s.tank);

    // The ground lies a little under the pipes: bank, pool, slope, the pump's hollow, slope, the tank's
    // shelf.
    s.ground = {{-1.5 * bank, 1.12 * fall},          {-1.15 * bank, 1.10 * fall},
                {-0.95 * bank, mouth - 2.2 * under}, {0.0, mouth - 2.2 * under},
                {run * 0.93, -0.6 * under},          {run, -1.9 * under},
                {s.delivery_foot.x, -1.9 * under}};
    for (std::size_t i = 1; i + 2 < s.delivery_pipe.size(); ++i) {
        s.ground.push_back({s.delivery_pipe[i].x, s.delivery_pipe[i].y - under});
    }
    s.ground.push_back({s.delivery_foot.x + 0.92 * delivery_run, floor});
    s.ground.push_back({s.tank.x + shelf, floor});

    s.left = -1.5 * bank;
    s.width = s.tank.x + shelf - s.left;
    s.top = std::max({1.12 * fall, lift, s.summit.y}) + 0.05 * lift;
    s.bottom = -2.6 * under;
    return s;
}

std::string scale_words(const Section& section, float w, float h) {
    if (!section.heights_true) {
        return "not to scale";
    }
    if (!section.lengths_true) {
        return "heights to scale";
    }
    const double ratio = (static_cast<double>(h) / (section.top - section.bottom)) / (static_cast<double>(w) / section.width);
    const double times = std::max(ratio, 1.0 / ratio);
    if (times < 1.25) {
        return "to scale";
    }
    char figure[16];
    std::snprintf(figure, sizeof figure, times < 10.0 ? "%.1f" : "%.0f", times);
    return std::string(ratio > 1.0 ? "heights " : "lengths ") + figure + " times larger";
}

} // namespace beckhand::kit
