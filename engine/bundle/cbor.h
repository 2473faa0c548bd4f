// The canonical CBOR of a bundle: RFC 8949, section 4.2.1, narrowed to whole numbers, byte strings, text
// and arrays. No maps, floats, tags, simple values or indefinite lengths; figures travel inside the log's
// own text. So there is one way to write a value, and what was not written that way is refused.
#pragma once

#include <cstddef>

#include <nlohmann/json.hpp>

#include "engine/bundle/digest.h"
#include "engine/problem.h"

namespace beckhand::bundle {

using Cbor = nlohmann::json;

struct CborLimits {
    std::size_t depth = 6;           // arrays within arrays
    std::size_t items = 1'000'000;   // values in all
};

[[nodiscard]] Bytes to_cbor(const Cbor& value);
[[nodiscard]] Cbor cbor_bytes(ByteView bytes);

/// Reads one value that fills `bytes` to the last. A first walk without recursion and without building
/// anything refuses what is too deep, too much, cut short or of another kind; then the value is built and
/// written again, and the bytes must be the same. Text is UTF-8.
[[nodiscard]] Result<Cbor> from_cbor(ByteView bytes, const CborLimits& limits = {});

} // namespace beckhand::bundle
