#include "engine/bundle/qr.h"

#include <memory>

#include <qrencode.h>

namespace beckhand::bundle {

Result<QrSquares> qr_squares(ByteView bytes, int version) {
    struct Free {
        void operator()(QRcode* code) const { QRcode_free(code); }
    };
    std::unique_ptr<QRcode, Free> code;
    if (!bytes.empty() && bytes.size() <= 2953) {
        code.reset(QRcode_encodeData(static_cast<int>(bytes.size()), bytes.data(), version, QR_ECLEVEL_L));
    }
    // libqrencode takes a larger version where the bytes do not fit the one asked for.
    if (!code || code->version != version) {
        return Problem{"codes", "This is too much for one code.", "Show it as several, or hand over a file."};
    }
    QrSquares squares;
    squares.width = code->width;
    const auto count = static_cast<std::size_t>(code->width) * static_cast<std::size_t>(code->width);
    squares.dark.resize(count);
    for (std::size_t i = 0; i < count; ++i) {
        squares.dark[i] = (code->data[i] & 1) != 0;
    }
    return squares;
}

} // namespace beckhand::bundle
