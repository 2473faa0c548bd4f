// Letters: the two faces at the five sizes of the screen, and text broken into lines by words. Line
// spacing is 1.3 times the letter size. Only the kit includes this.
#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <string_view>
#include <vector>

#include <imgui.h>

#include "app/kit/kit.h"

namespace beckhand::kit {

enum class Face { small, body, strong, question, figure }; // strong: bold at body size
[[nodiscard]] Face face_of(Type type);

struct Lettering {
    std::array<ImFont*, 5> fonts{};
    [[nodiscard]] ImFont* of(Face face) const { return fonts[static_cast<std::size_t>(face)]; }
};

/// Fills the font atlas of the current context anew and builds it. The bytes must outlive it.
[[nodiscard]] Lettering load_letters(const Metrics& m, std::span<const std::byte> regular,
                                     std::span<const std::byte> bold);

[[nodiscard]] float size_of(const Lettering& letters, Face face);
[[nodiscard]] float line_step(const Lettering& letters, Face face);
[[nodiscard]] float width_of_line(const Lettering& letters, Face face, std::string_view line);

/// The lines of a text in this width; a word wider than it is cut. Width 0: only at line breaks.
[[nodiscard]] std::vector<std::string_view> lines_of(const Lettering& letters, Face face,
                                                     std::string_view text, float width);
/// From the top of the first capitals to the foot of the last line.
[[nodiscard]] float capital_height(const Lettering& letters, Face face, std::size_t lines);

void draw_lines(ImDrawList& ink, const Lettering& letters, Face face, float x, float y, Colour colour,
                const std::vector<std::string_view>& lines);
/// Centred by its capitals between y and y + h, starting at x.
void draw_lines_centred(ImDrawList& ink, const Lettering& letters, Face face, float x, float y, float h,
                        Colour colour, const std::vector<std::string_view>& lines);

} // namespace beckhand::kit
