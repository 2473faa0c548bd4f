#include "platform/desktop/drawings_sheet.h"

#include <algorithm>

#include "app/drawings/sketch.h"
#include "platform/desktop/picture.h"

namespace beckhand {
namespace {

constexpr float drawing_w = 107, drawing_h = 86; // as in an answer: 17 mm wide
constexpr float cell_w = 190, gap = 14, line_h = 26, row_h = drawing_h + 3 * line_h + gap;
constexpr float text_scale = 0.55f; // so large a sheet has the letters of a tablet
constexpr std::size_t most_across = 8;

} // namespace

Outcome draw_drawings_sheet(kit::Kit& kit, const Pack& pack, std::optional<double> at_seconds, float scale,
                            const std::string& png_path) {
    PictureSize size;
    size.text_scale = text_scale;
    size.scale = scale;
    size.width = static_cast<int>(cell_w * most_across + 2 * gap);
    std::size_t rows = 0;
    for (const Observation& observation : pack.observations) rows += (observation.answers.size() + most_across - 2) / most_across;
    size.height = static_cast<int>(row_h * static_cast<float>(rows) + 2 * gap);
    const auto draw = [&] {
        kit.begin_screen("drawings", "");
        kit.main();
        float y = gap;
        for (const Observation& observation : pack.observations) {
            kit.write(gap * scale, y * scale, kit::Type::small, kit.palette().ink, observation.id + ": " + observation.ask);
            std::size_t place = 0;
            for (const Answer& answer : observation.answers) {
                if (answer.cannot) continue;
                if (place == most_across) {
                    place = 0;
                    y += row_h;
                }
                const float x = gap + cell_w * static_cast<float>(place++);
                const drawings::Sketch* const sketch = drawings::find_sketch(observation.id, answer.id);
                const kit::Box box{x * scale, (y + line_h) * scale, drawing_w * scale, drawing_h * scale};
                if (sketch != nullptr) drawings::draw_sketch(kit, box, *sketch, at_seconds);
                kit.write(box.x, box.y + box.h, kit::Type::small, kit.palette().quiet, answer.say, (cell_w - gap) * scale);
            }
            y += row_h;
        }
        kit.end_screen();
    };
    return draw_picture(kit, size, draw, png_path);
}

} // namespace beckhand
