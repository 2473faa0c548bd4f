#include "app/kit/labels.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace beckhand::kit {

float overlap(const Box& a, const Box& b) {
    const float w = std::min(a.x + a.w, b.x + b.w) - std::max(a.x, b.x);
    const float h = std::min(a.y + a.h, b.y + b.h) - std::max(a.y, b.y);
    return w > 0.0f && h > 0.0f ? w * h : 0.0f;
}

namespace {

bool crosses(const Spot& from, const Spot& to, const Box& box) {
    for (int i = 0; i <= 16; ++i) {
        const float t = static_cast<float>(i) / 16.0f;
        const float x = from.x + (to.x - from.x) * t, y = from.y + (to.y - from.y) * t;
        if (x > box.x && x < box.x + box.w && y > box.y && y < box.y + box.h) {
            return true;
        }
    }
    return false;
}

} // namespace

Placed place_label(float w, float h, Spot anchor, Spot prefer, const Box& bounds,
                   const std::vector<Box>& taken, const std::vector<Box>& words) {
    constexpr int directions = 24, rings = 18;
    Placed best{{bounds.x, bounds.y, w, h}, false};
    float least = 1e30f;
    for (int ring = 0; ring < rings; ++ring) {
        for (int direction = 0; direction < directions; ++direction) {
            const float angle = static_cast<float>(direction) * 2.0f * std::numbers::pi_v<float> / directions;
            const float dx = std::cos(angle), dy = std::sin(angle);
            const float far = h * (0.12f + 0.35f * static_cast<float>(ring));
            // The label's nearest edge is that far away, not its middle.
            Box box{anchor.x + dx * (far + w / 2.0f) - w / 2.0f, anchor.y + dy * (far + h / 2.0f) - h / 2.0f,
                    w, h};
            box.x = std::clamp(box.x, bounds.x, std::max(bounds.x, bounds.x + bounds.w - w));
            box.y = std::clamp(box.y, bounds.y, std::max(bounds.y, bounds.y + bounds.h - h));
            const Box clear{box.x - h * 0.12f, box.y, w + h * 0.24f, h};
            float covered = overlap(clear, {anchor.x - 2.0f, anchor.y - 2.0f, 4.0f, 4.0f}) * 4.0f;
            for (const Box& other : taken) {
                covered += overlap(clear, other);
            }
            const Spot near{std::clamp(anchor.x, box.x, box.x + w), std::clamp(anchor.y, box.y, box.y + h)};
            for (const Box& other : words) {
                covered += crosses(anchor, near, other) ? h * h : 0.0f;
            }
            const float mid_x = box.x + w / 2.0f - anchor.x, mid_y = box.y + h / 2.0f - anchor.y;
            const float away = std::hypot(std::max(0.0f, std::abs(mid_x) - w / 2.0f),
                                          std::max(0.0f, std::abs(mid_y) - h / 2.0f));
            const float length = std::max(1.0f, std::hypot(mid_x, mid_y));
            const bool any = prefer.x == 0.0f && prefer.y == 0.0f;
            const float turned = any ? 0.0f : 1.0f - (prefer.x * mid_x + prefer.y * mid_y) / length;
            const float cost = covered * 50.0f + away + turned * h * 1.2f;
            if (cost < least) {
                least = cost;
                best = {box, covered < 0.02f * w * h};
            }
        }
    }
    return best;
}

void add_along(std::vector<Box>& taken, Spot from, Spot to, float thickness) {
    const float length = std::hypot(to.x - from.x, to.y - from.y);
    const int pieces = std::max(1, static_cast<int>(length / thickness));
    for (int i = 0; i <= pieces; ++i) {
        const float t = static_cast<float>(i) / static_cast<float>(pieces);
        taken.push_back({from.x + (to.x - from.x) * t - thickness / 2.0f,
                         from.y + (to.y - from.y) * t - thickness / 2.0f, thickness, thickness});
    }
}

} // namespace beckhand::kit
