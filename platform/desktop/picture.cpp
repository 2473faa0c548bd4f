#include "platform/desktop/picture.h"

#include <cmath>
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

Outcome too_large(int width, int height, const std::string& path) {
    return Problem{path,
                   "No memory for a picture of " + std::to_string(width) + " by " + std::to_string(height) + ".",
                   "Ask for a smaller one."};
}

} // namespace

Outcome paint_png(int width, int height, const std::string& png_path) {
    const std::unique_ptr<SDL_Surface, FreeSurface> surface(
        SDL_CreateRGBSurfaceWithFormat(0, width, height, 32, SDL_PIXELFORMAT_ABGR8888));
    const std::unique_ptr<SDL_Renderer, FreeRenderer> sdl(surface ? SDL_CreateSoftwareRenderer(surface.get())
                                                                  : nullptr);
    if (!sdl)
        return too_large(width, height, png_path);
    Renderer renderer(sdl.get());
    renderer.draw(*ImGui::GetDrawData());
    SDL_RenderFlush(sdl.get());
    ImGui::GetIO().Fonts->SetTexID(nullptr); // the texture goes with the renderer

    if (stbi_write_png(png_path.c_str(), width, height, 4, surface->pixels, surface->pitch) == 0) {
        return Problem{png_path, "The picture could not be written.",
                       "Check that the folder exists and has room."};
    }
    return Done{};
}

Outcome draw_picture(kit::Kit& kit, const PictureSize& size, const std::function<void()>& frame,
                     const std::string& png_path) {
    const auto width = static_cast<int>(std::lround(static_cast<float>(size.width) * size.scale));
    const auto height = static_cast<int>(std::lround(static_cast<float>(size.height) * size.scale));
    kit.set_size(static_cast<float>(width), static_cast<float>(height), px_per_mm_of_pictures * size.scale,
                 size.text_scale);
    constexpr int most_passes = 8;
    int passes = 0;
    do {
        frame();
    } while (++passes < most_passes && (passes < 2 || !kit.settled()));
    return paint_png(width, height, png_path);
}

} // namespace beckhand
