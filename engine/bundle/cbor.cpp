#include "engine/bundle/cbor.h"

#include <limits>
#include <optional>

#include "engine/utf8.h"

namespace beckhand::bundle {
namespace {

Problem refused(const char* what) {
    return {"bundle", std::string("What is inside is not as it should be: ") + what + ".",
            "Ask for it to be handed over again."};
}

enum Major : unsigned { number = 0, negative = 1, byte_string = 2, text = 3, array = 4 };

/// The first byte and the argument of the value that starts at `at`; `at` is moved behind them.
struct Head {
    unsigned major = 0;
    std::uint64_t argument = 0;
};
std::optional<Head> head_at(ByteView bytes, std::size_t& at) {
    if (at >= bytes.size())
        return std::nullopt;
    const std::uint8_t first = bytes[at++];
    Head head{static_cast<unsigned>(first >> 5), static_cast<std::uint64_t>(first & 31)};
    if (head.argument < 24)
        return head;
    if (head.argument > 27)
        return std::nullopt; // reserved, or of indefinite length
    const std::size_t size = std::size_t{1} << (head.argument - 24);
    if (bytes.size() - at < size)
        return std::nullopt;
    head.argument = 0;
    for (std::size_t i = 0; i < size; ++i) {
        head.argument = head.argument << 8 | bytes[at++];
    }
    return head;
}

const char* what_is_wrong(ByteView bytes, const CborLimits& limits) {
    std::vector<std::uint64_t> left{1}; // values still to come in each open array
    std::size_t at = 0;
    std::size_t items = 0;
    while (!left.empty()) {
        if (left.back() == 0) {
            left.pop_back();
            continue;
        }
        --left.back();
        const std::optional<Head> head = head_at(bytes, at);
        if (!head)
            return "it is cut short";
        if (++items > limits.items)
            return "it holds too many values";
        switch (head->major) {
        case number:
            break;
        case negative:
            if (head->argument > static_cast<std::uint64_t>(std::numeric_limits<std::int64_t>::max()))
                return "a number is too large";
            break;
        case byte_string:
        case text:
            if (head->argument > bytes.size() - at)
                return "it is cut short";
            at += static_cast<std::size_t>(head->argument);
            break;
        case array:
            if (head->argument > bytes.size() - at) // each value takes at least one byte
                return "it is cut short";
            if (left.size() > limits.depth)
                return "it is too deeply nested";
            left.push_back(head->argument);
            break;
        default:
            return "it holds a kind of value that has no place in a bundle";
        }
    }
    return at == bytes.size() ? nullptr : "something follows its end";
}

bool all_text_sound(const Cbor& value) {
    if (value.is_string())
        return is_utf8(value.get_ref<const std::string&>());
    if (!value.is_array())
        return true;
    for (const Cbor& inner : value) {
        if (!all_text_sound(inner)) // no deeper than the walk allowed
            return false;
    }
    return true;
}

} // namespace

Bytes to_cbor(const Cbor& value) {
    return Cbor::to_cbor(value);
}

Cbor cbor_bytes(ByteView bytes) {
    return Cbor::binary(Bytes(bytes.begin(), bytes.end()));
}

Result<Cbor> from_cbor(ByteView bytes, const CborLimits& limits) {
    if (const char* const wrong = what_is_wrong(bytes, limits))
        return refused(wrong);
    Cbor value = Cbor::from_cbor(bytes.begin(), bytes.end(), true, false);
    if (value.is_discarded())
        return refused("it cannot be read");
    const Bytes again = to_cbor(value);
    if (again.size() != bytes.size() || !std::equal(again.begin(), again.end(), bytes.begin()))
        return refused("it is not written in the one way that is agreed on");
    if (!all_text_sound(value))
        return refused("some text is not valid UTF-8");
    return value;
}

} // namespace beckhand::bundle
