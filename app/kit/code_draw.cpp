#include "app/kit/code_draw.h"

#include <algorithm>
#include <cmath>

#include <imgui.h>

namespace beckhand::kit {

void draw_code(Kit& kit, int squares, const std::vector<bool>& dark, std::string_view label) {
    constexpr int quiet = 4;
    // On a wide screen it takes what the height leaves: a code that scrolls cannot be read as a whole.
    const Box box = kit.canvas(kit.metrics().wide ? 0.0f : kit.metrics().mm(kit.metrics().tablet ? 110.0f : 60.0f), label);
    const float side = std::min(box.w, box.h);
    const float square = std::floor(side / static_cast<float>(squares + 2 * quiet));
    if (square < 1.0f) return;
    const float whole = square * static_cast<float>(squares + 2 * quiet);
    const float left = std::floor(box.x + (box.w - whole) / 2), top = std::floor(box.y + (box.h - whole) / 2);
    ImDrawList* const ink = kit.ink();
    ink->AddRectFilled({left, top}, {left + whole, top + whole}, IM_COL32(255, 255, 255, 255));
    for (int y = 0; y < squares; ++y) {
        for (int x = 0; x < squares; ++x) {
            if (!dark[static_cast<std::size_t>(y * squares + x)]) continue;
            const float from_x = left + square * static_cast<float>(x + quiet);
            const float from_y = top + square * static_cast<float>(y + quiet);
            ink->AddRectFilled({from_x, from_y}, {from_x + square, from_y + square}, IM_COL32(0, 0, 0, 255));
        }
    }
}

} // namespace beckhand::kit
