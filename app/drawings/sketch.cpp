#include "app/drawings/sketch.h"

#include <algorithm>
#include <cmath>

#include "app/drawings/tables.h"

namespace beckhand::drawings {
namespace {

constexpr float still_step = 22.3f; // near the end of the turn: how it comes out

std::vector<Sketch> built() {
    std::vector<Sketch> all;
    add_valve_sketches(all);
    add_pump_sketches(all);
    add_pipe_sketches(all);
    add_water_sketches(all);
    return all;
}

} // namespace

const std::vector<Sketch>& all_sketches() {
    static const std::vector<Sketch> all = built();
    return all;
}

const Sketch* find_sketch(std::string_view observation, std::string_view answer) {
    const std::vector<Sketch>& all = all_sketches();
    const auto found = std::find_if(all.begin(), all.end(), [&](const Sketch& one) {
        return one.observation == observation && one.answer == answer;
    });
    return found == all.end() ? nullptr : &*found;
}

void draw_sketch(kit::Kit& kit, const kit::Box& box, const Sketch& sketch, std::optional<double> seconds) {
    const float unit = std::min(box.w / grid_w, box.h / grid_h);
    const float now =
        seconds ? static_cast<float>(std::fmod(*seconds, seconds_a_turn)) : still_step * seconds_a_step;
    const Brush brush{*kit.ink(), kit.palette(), box.x + (box.w - grid_w * unit) / 2.0f,
                      box.y + (box.h - grid_h * unit) / 2.0f, unit, kit.metrics().mm(0.5f), now, seconds.has_value()};
    ImDrawList& ink = brush.ink;
    ink.PushClipRect({box.x, box.y}, {box.x + box.w, box.y + box.h}, true);
    for (const Part& part : sketch.parts) {
        part.draw(brush.at_part(part.x, part.y, part.size), part);
    }
    ink.PopClipRect();
}

} // namespace beckhand::drawings
