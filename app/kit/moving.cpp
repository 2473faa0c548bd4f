#include "app/kit/moving.h"

#include <algorithm>
#include <cmath>

namespace beckhand::kit {

namespace {

constexpr double seconds_a_beat = 4.0;      // on the screen
constexpr double pulse_until = 0.30;        // of the beat: then the pressure has run up the pipe, slowed further
constexpr float fastest_mm = 14.0f;         // a second
constexpr float gap_apart_mm = 5.0f, gap_long_mm = 1.8f;

} // namespace

int times_slower(const OneBeat& beat) {
    const double period = beat.period.in(seconds);
    return period > 0.0 ? std::clamp(static_cast<int>(std::lround(seconds_a_beat / period)), 1, 60) : 1;
}

Motion motion_at(const OneBeat& beat, double at_seconds) {
    Motion motion;
    motion.moves = true;
    motion.slower = times_slower(beat);
    const double period = beat.period.in(seconds);
    motion.pulses = period > 0.0 ? at_seconds / (period * motion.slower) : 0.0;
    motion.share = motion.pulses - std::floor(motion.pulses);
    motion.now = beat.at(motion.share);
    // Metres run in the whole beats and in the begun one.
    double whole = 0, begun = 0, fastest = 0;
    const double step = period / static_cast<double>(OneBeat::steps);
    for (std::size_t i = 0; i < OneBeat::steps; ++i) {
        const double run = beat.moments[i].speed_m_s * step;
        const double part = motion.share * static_cast<double>(OneBeat::steps) - static_cast<double>(i);
        whole += run;
        begun += run * std::clamp(part, 0.0, 1.0);
        fastest = std::max(fastest, std::abs(beat.moments[i].speed_m_s));
    }
    motion.fastest = std::max(fastest, 1e-6);
    motion.run = std::floor(motion.pulses) * whole + begun;
    return motion;
}

Motion motion_of(Kit& kit, const OneBeat* beat) {
    if (beat == nullptr) {
        return {};
    }
    const std::optional<double> since = kit.moving();
    return since ? motion_at(*beat, *since) : Motion{};
}

std::string motion_words(const Kit& kit, const OneBeat* beat, const Motion& motion) {
    if (beat == nullptr || !kit.may_move()) {
        return "";
    }
    if (!motion.moves) {
        return "tap: it moves";
    }
    return motion.slower == 1 ? "as fast as the pump" : std::to_string(motion.slower) + " times slower";
}

float drive_shift(const Pencil& p, const Motion& motion) {
    return static_cast<float>(motion.run * motion.slower / motion.fastest) * p.mm(fastest_mm);
}

void pencil_flow(const Pencil& p, std::span<const ImVec2> points, float bore, float shift, Colour colour) {
    const float apart = p.mm(gap_apart_mm), length = p.mm(gap_long_mm), stroke = std::max(1.0f, bore * 0.34f);
    float passed = std::fmod(shift, apart);
    passed = passed < 0.0f ? passed + apart : passed;
    for (std::size_t i = 1; i < points.size(); ++i) {
        const ImVec2 a = points[i - 1], b = points[i];
        const float piece = std::hypot(b.x - a.x, b.y - a.y);
        if (piece <= 0.0f) {
            continue;
        }
        const float ux = (b.x - a.x) / piece, uy = (b.y - a.y) / piece;
        for (; passed < piece; passed += apart) {
            const float to = std::min(piece, passed + length);
            p.ink.AddLine({a.x + ux * passed, a.y + uy * passed}, {a.x + ux * to, a.y + uy * to}, paint(colour), stroke);
        }
        passed -= piece;
    }
}

void pencil_pulse(const Pencil& p, std::span<const ImVec2> points, float bore, const Motion& motion) {
    if (!motion.moves || motion.share > pulse_until || points.size() < 2) {
        return;
    }
    const auto up = static_cast<float>(motion.share / pulse_until);
    const ImVec2 foot = points.back(), head = points.front();
    const ImVec2 at{foot.x + (head.x - foot.x) * up, foot.y + (head.y - foot.y) * up};
    const float far = std::max(1.0f, std::hypot(head.x - foot.x, head.y - foot.y));
    const float ux = (head.x - foot.x) / far, uy = (head.y - foot.y) / far;
    const float half = bore / 2.0f + p.mm(1.8f);
    const ImVec2 band[] = {{at.x - uy * half, at.y + ux * half}, {at.x + uy * half, at.y - ux * half}};
    round_line(p.ink, p.palette.ink, band, p.mm(1.8f));
    round_line(p.ink, p.palette.watch, band, p.mm(0.9f));
}

} // namespace beckhand::kit
