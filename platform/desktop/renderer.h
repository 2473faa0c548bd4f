// Draws what Dear ImGui recorded through SDL's 2D renderer, on the graphics card or in memory alike. One
// texture (the letters), triangles with scissors; nothing else is asked of the machine.
//   [x] vertex offsets, scissors, font texture renewed when the atlas was rebuilt
//   [ ] user textures, draw callbacks: the screens use none
#pragma once

#include <memory>

struct SDL_Renderer;
struct SDL_Texture;
struct ImDrawData;

namespace beckhand {

class Renderer {
public:
    /// The SDL renderer must outlive this.
    explicit Renderer(SDL_Renderer* sdl);

    /// Draws one frame over the whole target. Presenting is the caller's.
    void draw(const ImDrawData& frame);

private:
    void renew_letters();

    struct Free {
        void operator()(SDL_Texture* texture) const;
    };
    SDL_Renderer* sdl_;
    std::unique_ptr<SDL_Texture, Free> letters_;
};

} // namespace beckhand
