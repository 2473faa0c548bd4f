#include "app/kit/edges.h"

#include <imgui.h>

#include "app/kit/shapes.h"

namespace beckhand::kit {

Box draw_edges(Kit& kit, float apart_mm, std::string_view label) {
    constexpr float tall_mm = 40.0f, line_mm = 1.2f;
    const Metrics& m = kit.metrics();
    const Box box = kit.canvas(m.mm(tall_mm), label);
    const float apart = m.mm(apart_mm), line = m.mm(line_mm);
    const Box between{box.x + (box.w - apart) / 2.0f, box.y, apart, box.h};
    for (const float x : {between.x - line, between.x + apart}) {
        kit.ink()->AddRectFilled({x, box.y}, {x + line, box.y + box.h}, paint(kit.palette().ink));
    }
    const float middle = between.x + apart / 2.0f - kit.width_of(Type::small, label) / 2.0f;
    kit.write(middle, box.y + box.h / 2.0f, Type::small, kit.palette().quiet, label);
    return between;
}

} // namespace beckhand::kit
