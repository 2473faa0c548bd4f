// Named colours. The hues of the tones follow the palette for colour-blind readers of Okabe and Ito (Color
// Universal Design, 2008), darkened where they carry text. Every pair's contrast is tested.
#include <algorithm>
#include <cmath>

#include "app/kit/kit.h"

namespace beckhand::kit {

namespace {

constexpr Colour rgb(unsigned hex) {
    return {static_cast<std::uint8_t>(hex >> 16 & 0xFF), static_cast<std::uint8_t>(hex >> 8 & 0xFF),
            static_cast<std::uint8_t>(hex & 0xFF), 255};
}

// Black letters on white: the only choice that survives daylight.
constexpr Palette paper_theme = {.paper = rgb(0xFFFFFF),
                                 .card = rgb(0xF3F6F7),
                                 .ink = rgb(0x0B1215),
                                 .quiet = rgb(0x3A4750),
                                 .line = rgb(0x5F6C74),
                                 .water = rgb(0x0072B2),
                                 .water_text = rgb(0x00477A),
                                 .good = rgb(0x009E73),
                                 .good_text = rgb(0x00553D),
                                 .watch = rgb(0xF0E442),
                                 .watch_text = rgb(0x6B4A00),
                                 .stop = rgb(0xD55E00),
                                 .stop_text = rgb(0x8A2F00),
                                 .press = rgb(0xDCEEF9),
                                 .earth = rgb(0x7A5C3A)};

// Warm light on near-black, for morning and evening.
constexpr Palette dusk_theme = {.paper = rgb(0x14110D),
                                .card = rgb(0x201B14),
                                .ink = rgb(0xFFE9C7),
                                .quiet = rgb(0xD8C3A0),
                                .line = rgb(0xA18D6E),
                                .water = rgb(0x56B4E9),
                                .water_text = rgb(0x8CCBF2),
                                .good = rgb(0x3FC89B),
                                .good_text = rgb(0x6FDDB8),
                                .watch = rgb(0xF0E442),
                                .watch_text = rgb(0xF3E66A),
                                .stop = rgb(0xF0803A),
                                .stop_text = rgb(0xFFA66B),
                                .press = rgb(0x3D3020),
                                .earth = rgb(0xB8925F)};

// Amber only: eyes stay used to the dark. Shapes and words carry the tones here.
constexpr Palette night_theme = {.paper = rgb(0x000000),
                                 .card = rgb(0x120A02),
                                 .ink = rgb(0xFFB45C),
                                 .quiet = rgb(0xDE9A4C),
                                 .line = rgb(0xAA763A),
                                 .water = rgb(0xD08A44),
                                 .water_text = rgb(0xF2A85A),
                                 .good = rgb(0xC88440),
                                 .good_text = rgb(0xE8A458),
                                 .watch = rgb(0xFFB45C),
                                 .watch_text = rgb(0xFFB45C),
                                 .stop = rgb(0xF06A38),
                                 .stop_text = rgb(0xFF8A5A),
                                 .press = rgb(0x2A1A08),
                                 .earth = rgb(0xA06E36)};

double luminance(Colour c) {
    const auto linear = [](std::uint8_t level) {
        const double v = level / 255.0;
        return v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4);
    };
    return 0.2126 * linear(c.r) + 0.7152 * linear(c.g) + 0.0722 * linear(c.b);
}

} // namespace

Palette palette_of(Theme theme) {
    switch (theme) {
    case Theme::paper:
        return paper_theme;
    case Theme::dusk:
        return dusk_theme;
    case Theme::night:
        return night_theme;
    }
    return paper_theme;
}

// WCAG 2.2, "contrast ratio" and "relative luminance".
double contrast(Colour a, Colour b) {
    const double la = luminance(a), lb = luminance(b);
    return (std::max(la, lb) + 0.05) / (std::min(la, lb) + 0.05);
}

} // namespace beckhand::kit
