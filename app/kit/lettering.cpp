#include "app/kit/lettering.h"

#include <cmath>

#include "app/kit/shapes.h"

namespace beckhand::kit {

namespace {

constexpr float capitals = 0.617f; // of the line height, B612
constexpr float spacing = 1.10f;   // B612's line height is about 1.18 of the letter size, so 1.3 in all

// Latin, and the few signs that figures and sentences use.
constexpr ImWchar text_signs[] = {0x20,   0xFF,   0x152,  0x153,  0x2013, 0x2014, 0x2018,
                                  0x201E, 0x2022, 0x2022, 0x2026, 0x2026, 0x2212, 0x2212,
                                  0x2248, 0x2248, 0x2264, 0x2265, 0};
// The large figure is digits and units: the atlas stays small.
constexpr ImWchar figure_signs[] = {0x20, 0x7E, 0xB0, 0xB3, 0xBC, 0xBE, 0x2013, 0x2013, 0x2212, 0x2212, 0};

} // namespace

Face face_of(Type type) {
    switch (type) {
    case Type::small:
        return Face::small;
    case Type::body:
        return Face::body;
    case Type::heading:
        return Face::strong;
    case Type::question:
        return Face::question;
    case Type::figure:
        return Face::figure;
    }
    return Face::body;
}

Lettering load_letters(const Metrics& m, std::span<const std::byte> regular,
                       std::span<const std::byte> bold) {
    ImFontAtlas& atlas = *ImGui::GetIO().Fonts;
    atlas.Clear();
    atlas.SetTexID(nullptr); // tells the renderer that its texture is old
    atlas.Flags = ImFontAtlasFlags_NoMouseCursors | ImFontAtlasFlags_NoBakedLines;
    atlas.TexDesiredWidth = 2048;
    const auto load = [&](std::span<const std::byte> bytes, float size, const ImWchar* signs) {
        ImFontConfig config;
        config.FontDataOwnedByAtlas = false;
        config.OversampleH = config.OversampleV = 1; // letters stand on whole pixels, so they need no more
        config.PixelSnapH = true;
        // The atlas does not write to bytes that it does not own; its interface is older than const.
        void* data = const_cast<std::byte*>(bytes.data());
        return atlas.AddFontFromMemoryTTF(data, static_cast<int>(bytes.size()), size, &config, signs);
    };
    Lettering letters;
    letters.fonts = {load(regular, m.small, text_signs), load(regular, m.body, text_signs),
                     load(bold, m.heading, text_signs), load(bold, m.question, text_signs),
                     load(bold, m.figure, figure_signs)};
    atlas.Build();
    return letters;
}

float size_of(const Lettering& letters, Face face) {
    return letters.of(face)->FontSize;
}

float line_step(const Lettering& letters, Face face) {
    return std::round(size_of(letters, face) * spacing);
}

float width_of_line(const Lettering& letters, Face face, std::string_view line) {
    if (line.empty()) {
        return 0.0f;
    }
    const ImFont* font = letters.of(face);
    return font->CalcTextSizeA(font->FontSize, 1e9f, 0.0f, line.data(), line.data() + line.size()).x;
}

std::vector<std::string_view> lines_of(const Lettering& letters, Face face, std::string_view text,
                                       float width) {
    std::vector<std::string_view> lines;
    const ImFont* font = letters.of(face);
    while (!text.empty()) {
        const std::size_t newline = text.find('\n');
        const std::string_view paragraph = text.substr(0, newline);
        std::size_t length = paragraph.size();
        if (width > 0.0f && width_of_line(letters, face, paragraph) > width) {
            const char* const end = font->CalcWordWrapPositionA(1.0f, paragraph.data(),
                                                                paragraph.data() + paragraph.size(), width);
            length = std::max<std::size_t>(1, static_cast<std::size_t>(end - paragraph.data()));
        }
        std::string_view line = text.substr(0, length);
        while (line.ends_with(' ')) {
            line.remove_suffix(1);
        }
        lines.push_back(line);
        text.remove_prefix(length);
        if (text.starts_with('\n')) {
            text.remove_prefix(1);
        } else {
            text.remove_prefix(std::min(text.find_first_not_of(' '), text.size()));
        }
    }
    return lines;
}

float capital_height(const Lettering& letters, Face face, std::size_t lines) {
    const float rest = lines == 0 ? 0.0f : static_cast<float>(lines - 1) * line_step(letters, face);
    return rest + size_of(letters, face) * capitals;
}

void draw_lines(ImDrawList& ink, const Lettering& letters, Face face, float x, float y, Colour colour,
                const std::vector<std::string_view>& lines) {
    ImFont* const font = letters.of(face);
    for (const std::string_view line : lines) {
        if (!line.empty()) {
            ink.AddText(font, font->FontSize, {std::round(x), std::round(y)}, paint(colour), line.data(),
                        line.data() + line.size());
        }
        y += line_step(letters, face);
    }
}

void draw_lines_centred(ImDrawList& ink, const Lettering& letters, Face face, float x, float y, float h,
                        Colour colour, const std::vector<std::string_view>& lines) {
    const float over_capitals = letters.of(face)->Ascent - size_of(letters, face) * capitals;
    const float top = y + (h - capital_height(letters, face, lines.size())) / 2.0f - over_capitals;
    draw_lines(ink, letters, face, x, top, colour, lines);
}

} // namespace beckhand::kit
