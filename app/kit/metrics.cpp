// Sizes by the millimetre. Letters are given by the height of their capitals, which is what legibility
// depends on; Dear ImGui wants the height of the whole line.
#include <algorithm>
#include <cmath>

#include "app/kit/kit.h"

namespace beckhand::kit {

namespace {

// Height of B612's capitals over its line height, measured from the font file.
constexpr float capitals = 0.617f;

} // namespace

Metrics metrics_for(float width_px, float height_px, float px_per_mm, float text_scale) {
    Metrics m;
    m.px_per_mm = px_per_mm;
    const float short_mm = std::min(width_px, height_px) / px_per_mm;
    const float tall_mm = height_px / px_per_mm;
    m.tablet = short_mm >= 110.0f;
    m.wide = width_px > height_px * 1.15f;

    // Whole pixels, rounded up: letters stay sharp and never fall under their millimetres.
    const auto letters = [&](float phone_mm, float tablet_mm, float scale) {
        return std::ceil((m.tablet ? tablet_mm : phone_mm) * scale * px_per_mm / capitals);
    };
    // The question is large already: of what the others grow it takes 65 %, or it would fill a phone alone.
    const float question_scale = 1.0f + (std::max(text_scale, 1.0f) - 1.0f) * 0.65f;
    m.small = letters(2.3f, 3.5f, text_scale);
    m.body = letters(2.6f, 3.8f, text_scale);
    m.caption = letters(2.3f, 3.5f, std::min(text_scale, 1.25f));
    m.heading = m.body;
    m.question = letters(3.5f, 5.2f, question_scale);
    m.figure =
        std::ceil((m.tablet ? 10.0f : 7.0f) * px_per_mm / capitals); // large in any case: does not grow

    // A 5.5 inch phone is 122 mm high: header 8, question 24, four answers of 15 + 3, bar 14, edge 4.
    const bool little = tall_mm < 135.0f;
    m.answer = m.mm(little ? 15.0f : 17.0f);
    m.key = m.mm(17.0f);
    m.control = m.mm(12.0f);
    m.gap = m.mm(3.0f);
    m.edge = m.mm(4.0f);
    m.radius = m.mm(2.0f);
    m.stroke = std::max(1.0f, m.mm(0.5f));
    return m;
}

} // namespace beckhand::kit
