// Reads the codes in a picture of the camera, as the desktop's tests read those on its screen.
#include <cstdint>
#include <string>

#include <emscripten/emscripten.h>
#include <zbar.h>

#include "platform/web/exchange.h"

namespace {

zbar::ImageScanner& scanner() {
    static zbar::ImageScanner* const only = [] {
        auto* const made = new zbar::ImageScanner();
        made->set_config(zbar::ZBAR_NONE, zbar::ZBAR_CFG_ENABLE, 0);
        made->set_config(zbar::ZBAR_QRCODE, zbar::ZBAR_CFG_ENABLE, 1);
        made->set_config(zbar::ZBAR_QRCODE, zbar::ZBAR_CFG_BINARY, 1);   // the bytes as they are
        return made;
    }();
    return *only;
}

} // namespace

extern "C" {

/// A picture in grey, a byte a dot. "" where there is no code in it, else as `beckhand::scanned`.
EMSCRIPTEN_KEEPALIVE const char* beckhand_see(const std::uint8_t* grey, int width, int height) {
    const auto across = static_cast<unsigned>(width), down = static_cast<unsigned>(height);
    zbar::Image image(across, down, "Y800", grey, static_cast<unsigned long>(across) * down);
    if (scanner().scan(image) <= 0) return "";
    const std::string data = image.symbol_begin()->get_data();
    const beckhand::bundle::Bytes bytes(data.begin(), data.end());
    return beckhand::scanned(bytes);
}
}
