// A picture of a screen without a window or a display: drawn into memory by SDL's software renderer and
// written as PNG. For tests, the README and people who look at screens.
#pragma once

#include <functional>
#include <string>

#include "app/kit/kit.h"
#include "engine/problem.h"

namespace beckhand {

/// Width and height as a phone counts them, 6.3 to the millimetre; `scale` 2 draws every one as 2 by 2
/// pixels.
struct PictureSize {
    int width = 412, height = 915;
    float scale = 1.0f;
    float text_scale = 1.0f;
};
inline constexpr float px_per_mm_of_pictures = 6.3f;

/// Paints what Dear ImGui last rendered, this many dots wide and high, and writes it as PNG. Fails when the
/// memory or the file cannot be had.
[[nodiscard]] Outcome paint_png(int width, int height, const std::string& png_path);

/// Calls `frame` (which draws one screen with the kit) until the layout has settled, then writes the PNG.
/// Fails when the memory or the file cannot be had. Leaves the kit at the picture's size.
[[nodiscard]] Outcome draw_picture(kit::Kit& kit, const PictureSize& size, const std::function<void()>& frame,
                                   const std::string& png_path);

} // namespace beckhand
