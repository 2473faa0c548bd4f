#include "platform/desktop/drawings_sheet.h"

#include <algorithm>

#include "app/drawings/sketch.h"
#include "platform/desktop/picture.h"

namespace beckhand {
namespace {

constexpr float drawing_w = 107, drawing_h = 86; // as in an answer: 17 mm wide
constexpr float cell_w = 190, gap = 14, line_h = 26, row_h = drawing_h + 3 * line_h + gap;
constexpr float text_scale = 0.55f; // so large a sheet has the letters of a tablet
constexpr std::size_t across = 5, columns = 3;

std::size_t rows_of(const Observation& observation) {
    const auto drawn = std::count_if(observation.answers.begin(), observation.answers.end(),
                                     [](const Answer& answer) { return !answer.cannot; });
    return (static_cast<std::size_t>(drawn) + across - 1) / across;
}

void draw_observation(kit::Kit& kit, const Observation& observation, float x, float y, float scale,
                      std::optional<double> at_seconds) {
    kit.write(x * scale, y * scale, kit::Type::small, kit.palette().ink, observation.id + ": " + observation.ask);
    std::size_t n = 0;
    for (const Answer& answer : observation.answers) {
        if (answer.cannot) continue;
        const float left = x + cell_w * static_cast<float>(n % across), top = y + row_h * static_cast<float>(n / across) + line_h;
        ++n;
        const kit::Box box{left * scale, top * scale, drawing_w * scale, drawing_h * scale};
        const drawings::Sketch* const sketch = drawings::find_sketch(observation.id, answer.id);
        if (sketch != nullptr) drawings::draw_sketch(kit, box, *sketch, at_seconds);
        kit.write(box.x, box.y + box.h, kit::Type::small, kit.palette().quiet, answer.say, (cell_w - gap) * scale);
    }
}

} // namespace

Outcome draw_drawings_sheet(kit::Kit& kit, const Pack& pack, std::optional<double> at_seconds, float scale,
                            const std::string& png_path) {
    std::size_t rows = 0;
    for (const Observation& observation : pack.observations) rows += rows_of(observation);
    const std::size_t tall = rows / columns + 1;
    constexpr float column_w = cell_w * across + 2 * gap;
    PictureSize size;
    size.scale = scale;
    size.text_scale = text_scale;
    size.width = static_cast<int>(column_w * columns);
    size.height = static_cast<int>(row_h * static_cast<float>(tall + 1) + 2 * gap);
    const auto draw = [&] {
        kit.begin_screen("drawings", "");
        std::size_t row = 0, column = 0;
        for (const Observation& observation : pack.observations) {
            if (row >= tall) row = 0, ++column;
            draw_observation(kit, observation, gap + column_w * static_cast<float>(column), gap + row_h * static_cast<float>(row),
                             scale, at_seconds);
            row += rows_of(observation);
        }
        kit.end_screen();
    };
    return draw_picture(kit, size, draw, png_path);
}

} // namespace beckhand
