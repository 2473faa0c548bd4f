#include "platform/desktop/picture.h"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <memory>

#include <SDL.h>
#include <imgui.h>
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wold-style-cast"
#pragma GCC diagnostic ignored "-Wconversion"
#pragma GCC diagnostic ignored "-Wsign-conversion"
#pragma GCC diagnostic ignored "-Wmissing-field-initializers"
#pragma GCC diagnostic ignored "-Wunused-function"
#define STB_IMAGE_WRITE_IMPLEMENTATION
#define STB_IMAGE_WRITE_STATIC
#include <stb_image_write.h>
#pragma GCC diagnostic pop

#include "platform/desktop/renderer.h"

namespace beckhand {

namespace {

struct FreeSurface {
    void operator()(SDL_Surface* surface) const { SDL_FreeSurface(surface); }
};
struct FreeRenderer {
    void operator()(SDL_Renderer* renderer) const { SDL_DestroyRenderer(renderer); }
};

Problem too_large(int width, int height) {
    return Problem{"picture",
                   "No memory for a picture of " + std::to_string(width) + " by " + std::to_string(height) + ".",
                   "Ask for a smaller one."};
}

} // namespace

Result<Pixels> paint(int width, int height) {
    const std::unique_ptr<SDL_Surface, FreeSurface> surface(
        SDL_CreateRGBSurfaceWithFormat(0, width, height, 32, SDL_PIXELFORMAT_ABGR8888));
    const std::unique_ptr<SDL_Renderer, FreeRenderer> sdl(surface ? SDL_CreateSoftwareRenderer(surface.get())
                                                                  : nullptr);
    if (!sdl)
        return too_large(width, height);
    Renderer renderer(sdl.get());
    renderer.draw(*ImGui::GetDrawData());
    SDL_RenderFlush(sdl.get());
    ImGui::GetIO().Fonts->SetTexID(nullptr); // the texture goes with the renderer

    Pixels pixels{width, height, std::vector<std::uint8_t>(static_cast<std::size_t>(width * height) * 4)};
    const auto* const from = static_cast<const std::uint8_t*>(surface->pixels);
    const auto line = static_cast<std::size_t>(width) * 4;
    for (int y = 0; y < height; ++y) {
        std::memcpy(pixels.rgba.data() + static_cast<std::size_t>(y) * line, from + y * surface->pitch, line);
    }
    return pixels;
}

Outcome write_png(const Pixels& pixels, const std::string& path) {
    if (stbi_write_png(path.c_str(), pixels.width, pixels.height, 4, pixels.rgba.data(), pixels.width * 4) == 0) {
        return Problem{path, "The picture could not be written.", "Check that the folder exists and has room."};
    }
    return Done{};
}

Outcome paint_png(int width, int height, const std::string& png_path) {
    const Result<Pixels> pixels = paint(width, height);
    return pixels ? write_png(*pixels, png_path) : Outcome(pixels.error());
}

Result<Pixels> draw_pixels(kit::Kit& kit, const PictureSize& size, const std::function<void()>& frame) {
    const auto width = static_cast<int>(std::lround(static_cast<float>(size.width) * size.scale));
    const auto height = static_cast<int>(std::lround(static_cast<float>(size.height) * size.scale));
    kit.set_size(static_cast<float>(width), static_cast<float>(height), px_per_mm_of_pictures * size.scale,
                 size.text_scale);
    constexpr int most_passes = 8;
    int passes = 0;
    do {
        frame();
    } while (++passes < most_passes && (passes < 2 || !kit.settled()));
    return paint(width, height);
}

Outcome draw_picture(kit::Kit& kit, const PictureSize& size, const std::function<void()>& frame,
                     const std::string& png_path) {
    const Result<Pixels> pixels = draw_pixels(kit, size, frame);
    return pixels ? write_png(*pixels, png_path) : Outcome(pixels.error());
}

Pixels contact_sheet(const std::vector<Pixels>& pictures, int columns, int smaller) {
    if (pictures.empty() || columns < 1 || smaller < 1) {
        return {};
    }
    constexpr int between = 12;
    constexpr std::uint8_t grey = 128;
    const int w = pictures.front().width / smaller, h = pictures.front().height / smaller;
    const int count = static_cast<int>(pictures.size());
    const int across = std::min(columns, count), lines = (count + columns - 1) / columns;
    Pixels sheet{across * (w + between) + between, lines * (h + between) + between, {}};
    sheet.rgba.assign(static_cast<std::size_t>(sheet.width * sheet.height) * 4, grey);
    for (std::size_t i = 3; i < sheet.rgba.size(); i += 4) {
        sheet.rgba[i] = 255;
    }
    for (int n = 0; n < count; ++n) {
        const Pixels& from = pictures[static_cast<std::size_t>(n)];
        const int left = between + n % columns * (w + between), top = between + n / columns * (h + between);
        for (int y = 0; y < std::min(h, from.height / smaller); ++y) {
            for (int x = 0; x < std::min(w, from.width / smaller); ++x) {
                for (int part = 0; part < 3; ++part) { // the mean of the dots that it stands for
                    int sum = 0;
                    for (int dot = 0; dot < smaller * smaller; ++dot) {
                        const int at = (y * smaller + dot / smaller) * from.width + x * smaller + dot % smaller;
                        sum += from.rgba[static_cast<std::size_t>(at * 4 + part)];
                    }
                    sheet.rgba[static_cast<std::size_t>(((top + y) * sheet.width + left + x) * 4 + part)] =
                        static_cast<std::uint8_t>(sum / (smaller * smaller));
                }
            }
        }
    }
    return sheet;
}

} // namespace beckhand
