// A QR code (ISO/IEC 18004) of a frame or of a small bundle as dark and light squares; who draws them is
// not this room's matter. The code is made by libqrencode.
#pragma once

#include "engine/bundle/digest.h"
#include "engine/problem.h"

namespace beckhand::bundle {

struct QrSquares {
    int width = 0;                // squares a side; leave four light ones around it (ISO/IEC 18004, 9.1)
    std::vector<bool> dark;       // row by row
};

// Codes held in the hand: version 10 with the low level of correction stands 10 % of tilt, larger ones do
// not, and lost frames are the erasure code's to make good.
inline constexpr int shown_version = 10;
inline constexpr std::size_t shown_bytes = 271;      // of version 10-L in byte mode (ISO/IEC 18004, table 7)
inline constexpr int frames_a_second = 10;

/// Fails with a Problem when the bytes do not fit the version.
[[nodiscard]] Result<QrSquares> qr_squares(ByteView bytes, int version = shown_version);

} // namespace beckhand::bundle
