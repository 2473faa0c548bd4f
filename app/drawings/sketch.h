// The small moving drawings that show what an answer looks like at the pump. Each is a line in a table: the
// observation and the answer of the pack, and the parts that the drawing is made of. A part is drawn by a function
// of its own; its course says how its level goes in time (a valve from shut to open, water from none to full, a
// needle from rest to the end). A new answer is a line more, made from these parts.
#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "app/drawings/brush.h"
#include "app/kit/kit.h"

namespace beckhand::drawings {

/// Which shape of a part; what each part knows stands beside it in parts.h.
enum class Form {
    plain, both, one_side, all_round, drips, sheet, away, hard, soft, weak, none, jammed, sticky, tilted, wobbly,
    grooved, swollen, cracked, debris, loose, missing, longer, shorter, left, right, up, down, dented, hump, sag, wet,
    patch, iced, branch, crushed, broken, air, steel, plastic, hose, mixed, matted, partly, torn, shut,
    rust, slime, lime, bubbles, hollow, dull, leaf, silt, small, large, high, question
};

struct Part;
using Draw = void (*)(const Brush&, const Part&);

struct Part {
    Draw draw;
    std::string_view course{};   // level_at(); empty: full
    Form form = Form::plain;
    float x = 0, y = 0, size = 1; // where its own grid begins on that of the drawing, and how large it is
};

struct Sketch {
    std::string_view observation, answer;
    std::vector<Part> parts;
};

/// The drawing of an answer; null when it has none.
[[nodiscard]] const Sketch* find_sketch(std::string_view observation, std::string_view answer);
/// All of them, in the order of the tables.
[[nodiscard]] const std::vector<Sketch>& all_sketches();

/// Draws it as large as the box allows, at this many seconds; without a time its still form.
void draw_sketch(kit::Kit& kit, const kit::Box& box, const Sketch& sketch, std::optional<double> seconds);

} // namespace beckhand::drawings
