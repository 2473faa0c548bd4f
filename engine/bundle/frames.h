// A bundle as a stream of small frames that a camera may miss any of. The first `parts` frames carry the
// bundle itself, every later one a mixture of all parts; whichever frames arrive, about as many as there
// are parts are enough.
//
// The code is a random linear one over GF(256), systematic, so that a clean run needs no arithmetic. Of the
// libraries in Debian 12: liblcrq (RaptorQ, RFC 6330) is GPL, which this program is not; libisal
// (Reed-Solomon) knows only codes of at most 255 frames in all and lives by x86 and ARM assembler, which the
// browser build cannot take; libjerasure and liberasurecode have the same ceiling of a fixed code. An endless stream
// of frames needs none, and Gauss's elimination over a table of 256 logarithms is short.
//
// A frame, numbers most significant byte first:
//     1  1, the format      8  transfer: first bytes of the bundle's BLAKE2b-256     2  parts
//     3  bytes in all       2  number of the frame      n  the part or mixture       4  check of all before
#pragma once

#include <optional>

#include "engine/bundle/digest.h"
#include "engine/problem.h"

namespace beckhand::bundle {

inline constexpr std::size_t frame_overhead = 20;
inline constexpr std::size_t most_parts = 512;      // beyond that a file is the better carrier

/// Multiplication in GF(256) with the polynomial x^8+x^4+x^3+x+1 (FIPS 197, section 4.2).
[[nodiscard]] std::uint8_t times(std::uint8_t a, std::uint8_t b);

/// Gives any frame of a bundle by its number; frame n and frame n + 65,536 are the same.
class FrameSource {
public:
    /// Frames of at most `frame_size` bytes. Fails with a Problem when there would be too many parts.
    [[nodiscard]] static Result<FrameSource> of(ByteView bundle, std::size_t frame_size);
    [[nodiscard]] std::size_t parts() const { return parts_.size(); }
    [[nodiscard]] Bytes frame(std::uint16_t number) const;

private:
    std::vector<Bytes> parts_;  // all of one length, the last one filled up with zeros
    std::size_t size_ = 0;
    Digest name_{};
};

/// Takes frames in any order, any number of times, and gives the bundle once it is whole.
class FrameCollector {
public:
    /// How a frame helped. `of_another`: of another transfer than the one begun; begin again for that.
    enum class Took { no_frame, of_another, nothing_new, new_part };
    Took take(ByteView frame);

    [[nodiscard]] std::size_t have() const { return have_; }
    [[nodiscard]] std::size_t parts() const { return rows_.size(); }  // 0 before the first frame
    /// The bundle, once `have() == parts()` and its bytes have the name that the frames gave; else nothing.
    [[nodiscard]] std::optional<Bytes> bundle() const;

private:
    struct Row { Bytes factors, mixture; };    // factors[i] is the share of part i
    std::vector<std::optional<Row>> rows_;     // row i: its first factor that is not 0 is factor i, and is 1
    std::size_t have_ = 0, size_ = 0, part_size_ = 0;
    Bytes transfer_;
};

} // namespace beckhand::bundle
