// A picture of a screen without a window or a display: drawn into memory by SDL's software renderer and
// written as PNG. For tests, the README and people who look at screens.
#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <vector>

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

/// Red, green, blue and cover of each dot, line by line from the top.
struct Pixels {
    int width = 0, height = 0;
    std::vector<std::uint8_t> rgba;
};

/// Paints what Dear ImGui last rendered, this many dots wide and high. Fails when the memory cannot be had.
[[nodiscard]] Result<Pixels> paint(int width, int height);
/// Fails when the file cannot be written.
[[nodiscard]] Outcome write_png(const Pixels& pixels, const std::string& path);
/// Both.
[[nodiscard]] Outcome paint_png(int width, int height, const std::string& png_path);

/// Calls `frame` (which draws one screen with the kit) until the layout has settled, then paints it. Fails when the
/// memory cannot be had. Leaves the kit at the picture's size.
[[nodiscard]] Result<Pixels> draw_pixels(kit::Kit& kit, const PictureSize& size, const std::function<void()>& frame);
/// The same, written as PNG.
[[nodiscard]] Outcome draw_picture(kit::Kit& kit, const PictureSize& size, const std::function<void()>& frame,
                                   const std::string& png_path);

/// Pictures of one size side by side, so many in a line, each this many times smaller: one look shows all.
[[nodiscard]] Pixels contact_sheet(const std::vector<Pixels>& pictures, int columns, int smaller);

} // namespace beckhand
