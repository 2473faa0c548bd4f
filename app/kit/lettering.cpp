#include "app/kit/lettering.h"

#include <algorithm>
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

bool is_letter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}
bool is_vowel(char c) {
    return std::string_view("aeiouyAEIOUY").find(c) != std::string_view::npos;
}
/// The bytes of one sign, as UTF-8 has them.
std::size_t sign_bytes(std::string_view text) {
    std::size_t n = 1;
    while (n < text.size() && (static_cast<unsigned char>(text[n]) & 0xC0U) == 0x80U) {
        ++n;
    }
    return n;
}

/// How much of a word too long for its line stands on this one: up to a stroke that joins two words, or to the last
/// place where a syllable can begin (a consonant before a vowel, two letters at least on either side), or what goes in.
Line part_of_word(const Lettering& letters, Face face, std::string_view word, float width) {
    const float hyphen = width_of_line(letters, face, "-");
    std::size_t room = sign_bytes(word);
    for (std::size_t next = room; next < word.size(); next += sign_bytes(word.substr(next))) {
        if (width_of_line(letters, face, word.substr(0, next)) + hyphen > width) {
            break;
        }
        room = next;
    }
    const std::size_t joint = word.substr(0, room).find_last_of("-/");
    if (joint != std::string_view::npos) {
        return {word.substr(0, joint + 1), false};
    }
    for (std::size_t at = room; at >= 2; --at) {
        const bool inside = is_letter(word[at - 2]) && is_letter(word[at - 1]) && at + 1 < word.size() &&
                            is_letter(word[at]) && is_letter(word[at + 1]);
        if (inside && !is_vowel(word[at]) && is_vowel(word[at + 1])) {
            return {word.substr(0, at), true};
        }
    }
    return {word.substr(0, room), is_letter(word[room - 1]) && room < word.size() && is_letter(word[room])};
}

/// Between words only, as long as each is no wider than the line.
void break_paragraph(Lines& lines, const Lettering& letters, Face face, std::string_view text, float width) {
    if (width <= 0.0f || width_of_line(letters, face, text) <= width) {
        while (text.ends_with(' ')) {
            text.remove_suffix(1);
        }
        lines.emplace_back(text);
        return;
    }
    const float space = width_of_line(letters, face, " ");
    std::size_t begin = 0, end = 0; // of the line so far
    float wide = 0;
    for (std::size_t at = text.find_first_not_of(' '); at < text.size();) {
        const std::size_t word_end = std::min(text.find(' ', at), text.size());
        const std::string_view word = text.substr(at, word_end - at);
        const float lead = end > begin ? space * static_cast<float>(at - end) : 0.0f;
        const float w = width_of_line(letters, face, word);
        if (wide + lead + w <= width) {
            begin = end > begin ? begin : at;
            end = word_end;
            wide += lead + w;
            at = std::min(text.find_first_not_of(' ', word_end), text.size());
            continue;
        }
        if (end > begin) {
            lines.emplace_back(text.substr(begin, end - begin));
        } else {
            lines.push_back(part_of_word(letters, face, word, width));
            at += lines.back().size();
        }
        begin = end = at;
        wide = 0;
    }
    if (end > begin) {
        lines.emplace_back(text.substr(begin, end - begin));
    }
}

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

Face face_in_drawing(Type type) {
    return type == Type::small ? Face::caption : face_of(type);
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
                     load(bold, m.figure, figure_signs), nullptr};
    letters.fonts[5] = m.caption == m.small ? letters.fonts[0] : load(regular, m.caption, text_signs);
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

float width_of_longest_word(const Lettering& letters, Face face, std::string_view text) {
    float widest = 0;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find_first_of(" \n"), text.size());
        widest = std::max(widest, width_of_line(letters, face, text.substr(0, end)));
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return widest;
}

Lines lines_of(const Lettering& letters, Face face, std::string_view text, float width) {
    Lines lines;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        break_paragraph(lines, letters, face, text.substr(0, end), width);
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return lines;
}

namespace {

void note_line(std::vector<Inked>& noted, const ImDrawList& ink, const Lettering& letters, Face face, ImVec2 at,
               Colour colour, const Line& line) {
    const float tall = size_of(letters, face) * capitals, ascent = letters.of(face)->Ascent;
    const ImVec2 low = ink.GetClipRectMin(), high = ink.GetClipRectMax();
    const float hyphen = line.cut ? width_of_line(letters, face, "-") : 0.0f;
    noted.push_back({std::string(line),
                     {at.x, at.y + ascent - tall, width_of_line(letters, face, line) + hyphen, tall},
                     {low.x, low.y, high.x - low.x, high.y - low.y},
                     colour,
                     size_of(letters, face),
                     line.cut});
}

} // namespace

float capital_height(const Lettering& letters, Face face, std::size_t lines) {
    const float rest = lines == 0 ? 0.0f : static_cast<float>(lines - 1) * line_step(letters, face);
    return rest + size_of(letters, face) * capitals;
}

void draw_lines(ImDrawList& ink, const Lettering& letters, Face face, float x, float y, Colour colour,
                const Lines& lines) {
    ImFont* const font = letters.of(face);
    for (const Line& line : lines) {
        if (!line.empty()) {
            const ImVec2 at{std::round(x), std::round(y)};
            ink.AddText(font, font->FontSize, at, paint(colour), line.data(), line.data() + line.size());
            if (line.cut) {
                const char* const hyphen = "-";
                ink.AddText(font, font->FontSize, {at.x + width_of_line(letters, face, line), at.y}, paint(colour),
                            hyphen, hyphen + 1);
            }
            if (letters.noted != nullptr) {
                note_line(*letters.noted, ink, letters, face, at, colour, line);
            }
        }
        y += line_step(letters, face);
    }
}

void draw_lines_centred(ImDrawList& ink, const Lettering& letters, Face face, float x, float y, float h,
                        Colour colour, const Lines& lines) {
    const float over_capitals = letters.of(face)->Ascent - size_of(letters, face) * capitals;
    const float top = y + (h - capital_height(letters, face, lines.size())) / 2.0f - over_capitals;
    draw_lines(ink, letters, face, x, top, colour, lines);
}

} // namespace beckhand::kit
