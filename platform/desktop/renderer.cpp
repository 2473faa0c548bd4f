#include "platform/desktop/renderer.h"

#include <cmath>
#include <cstddef>

#include <SDL.h>
#include <imgui.h>

namespace beckhand {

namespace {

// SDL asks for pointers into our vertices with a stride.
template <class T>
const T* field(const ImDrawVert* vertices, std::size_t offset) {
    return reinterpret_cast<const T*>(reinterpret_cast<const std::byte*>(vertices) + offset);
}

} // namespace

void Renderer::Free::operator()(SDL_Texture* texture) const {
    SDL_DestroyTexture(texture);
}

Renderer::Renderer(SDL_Renderer* sdl) : sdl_(sdl) {}

void Renderer::renew_letters() {
    ImFontAtlas& atlas = *ImGui::GetIO().Fonts;
    if (letters_ && atlas.TexID == letters_.get()) {
        return;
    }
    unsigned char* pixels = nullptr;
    int width = 0, height = 0;
    atlas.GetTexDataAsRGBA32(&pixels, &width, &height);
    letters_.reset(
        SDL_CreateTexture(sdl_, SDL_PIXELFORMAT_ABGR8888, SDL_TEXTUREACCESS_STATIC, width, height));
    if (!letters_) {
        return; // shapes are drawn all the same
    }
    SDL_UpdateTexture(letters_.get(), nullptr, pixels, 4 * width);
    SDL_SetTextureBlendMode(letters_.get(), SDL_BLENDMODE_BLEND);
    SDL_SetTextureScaleMode(letters_.get(), SDL_ScaleModeNearest); // letters stand on whole pixels
    atlas.SetTexID(letters_.get());
}

void Renderer::draw(const ImDrawData& frame) {
    renew_letters();
    for (int i = 0; i < frame.CmdListsCount; ++i) {
        const ImDrawList& list = *frame.CmdLists[i];
        for (const ImDrawCmd& command : list.CmdBuffer) {
            const ImVec4& clip = command.ClipRect;
            const SDL_Rect scissors{static_cast<int>(clip.x), static_cast<int>(clip.y),
                                    static_cast<int>(std::ceil(clip.z) - std::floor(clip.x)),
                                    static_cast<int>(std::ceil(clip.w) - std::floor(clip.y))};
            if (scissors.w <= 0 || scissors.h <= 0 || command.ElemCount == 0) {
                continue;
            }
            SDL_RenderSetClipRect(sdl_, &scissors);
            const ImDrawVert* vertices = list.VtxBuffer.Data + command.VtxOffset;
            const ImDrawIdx* indices = list.IdxBuffer.Data + command.IdxOffset;
            const int count = list.VtxBuffer.Size - static_cast<int>(command.VtxOffset);
            constexpr int stride = sizeof(ImDrawVert);
            SDL_RenderGeometryRaw(sdl_, letters_.get(), field<float>(vertices, offsetof(ImDrawVert, pos)),
                                  stride, field<SDL_Color>(vertices, offsetof(ImDrawVert, col)), stride,
                                  field<float>(vertices, offsetof(ImDrawVert, uv)), stride, count, indices,
                                  static_cast<int>(command.ElemCount), sizeof(ImDrawIdx));
        }
    }
    SDL_RenderSetClipRect(sdl_, nullptr);
}

} // namespace beckhand
