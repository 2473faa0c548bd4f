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

enum class Face { small, body, strong, question, figure, caption }; // strong: bold at body size
[[nodiscard]] Face face_of(Type type);
/// In drawings small letters are those of captions, which grow by a quarter at most: what they say is said in words
/// beside the drawing too.
[[nodiscard]] Face face_in_drawing(Type type);

struct Lettering {
    std::array<ImFont*, 6> fonts{};
    std::vector<Inked>* noted = nullptr; // where lines are noted as they are drawn; null: nowhere
    [[nodiscard]] ImFont* of(Face face) const { return fonts[static_cast<std::size_t>(face)]; }
};

/// Fills the font atlas of the current context anew and builds it. The bytes must outlive it.
[[nodiscard]] Lettering load_letters(const Metrics& m, std::span<const std::byte> regular,
                                     std::span<const std::byte> bold);

/// One line of a text. A word too long for it is cut where it can be said in parts, with a hyphen that is drawn
/// and not counted among the letters.
struct Line : std::string_view {
    bool cut = false;
    Line(std::string_view text = {}, bool is_cut = false) : std::string_view(text), cut(is_cut) {}
};
using Lines = std::vector<Line>;

[[nodiscard]] float size_of(const Lettering& letters, Face face);
[[nodiscard]] float line_step(const Lettering& letters, Face face);
[[nodiscard]] float width_of_line(const Lettering& letters, Face face, std::string_view line);

/// The lines of a text in this width. Width 0: only at line breaks.
[[nodiscard]] Lines lines_of(const Lettering& letters, Face face, std::string_view text, float width);
/// The widest word of a text.
[[nodiscard]] float width_of_longest_word(const Lettering& letters, Face face, std::string_view text);
/// From the top of the first capitals to the foot of the last line.
[[nodiscard]] float capital_height(const Lettering& letters, Face face, std::size_t lines);

void draw_lines(ImDrawList& ink, const Lettering& letters, Face face, float x, float y, Colour colour,
                const Lines& lines);
/// Centred by its capitals between y and y + h, starting at x.
void draw_lines_centred(ImDrawList& ink, const Lettering& letters, Face face, float x, float y, float h,
                        Colour colour, const Lines& lines);

} // namespace beckhand::kit
