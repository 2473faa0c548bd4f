#include "engine/bundle/seal.h"

#include <algorithm>
#include <memory>

#include <sodium.h>
#include <zstd.h>

namespace beckhand::bundle {
namespace {

constexpr std::string_view magic = "BKHB";
constexpr std::uint8_t format = 1;
constexpr std::string_view signed_sentence = "Beckhand bundle, format 1, signed by a device:";
constexpr int level = 19;
constexpr std::size_t packed_at = 6, unpacked_at = 10, signer_at = 14, signature_at = 46;
static_assert(signature_at + 64 == header_size);

Problem refused(const std::string& what, const std::string& todo = "Ask for it to be handed over again.") {
    return {"bundle", what, todo};
}

void put_size(Bytes& out, std::size_t size) {
    for (int shift = 24; shift >= 0; shift -= 8) {
        out.push_back(static_cast<std::uint8_t>(size >> shift & 0xff));
    }
}
std::size_t size_at(ByteView bytes, std::size_t at) {
    return std::size_t{bytes[at]} << 24 | std::size_t{bytes[at + 1]} << 16 | std::size_t{bytes[at + 2]} << 8 |
           bytes[at + 3];
}

Bytes message_of(ByteView head, ByteView packed) {
    Bytes message(signed_sentence.begin(), signed_sentence.end());
    message.insert(message.end(), head.begin(), head.end());
    message.insert(message.end(), packed.begin(), packed.end());
    return message;
}

bool within(std::size_t packed, std::size_t unpacked) {
    const std::size_t allowed = std::max<std::size_t>(64u << 10, packed * most_times_larger);
    return header_size + packed <= most_packed && unpacked <= most_unpacked && unpacked <= allowed;
}

struct FreeContext {
    void operator()(ZSTD_DCtx* context) const { ZSTD_freeDCtx(context); }
};

/// One frame, of the size it was said to have, without a dictionary, and nothing behind it.
Result<Bytes> unpacked(ByteView packed, std::size_t size) {
    const Problem damaged = refused("The packed part of this bundle is damaged.");
    if (ZSTD_getFrameContentSize(packed.data(), packed.size()) != size ||
        ZSTD_findFrameCompressedSize(packed.data(), packed.size()) != packed.size() ||
        ZSTD_getDictID_fromFrame(packed.data(), packed.size()) != 0) {
        return damaged;
    }
    const std::unique_ptr<ZSTD_DCtx, FreeContext> context(ZSTD_createDCtx());
    if (!context)
        return refused("There is too little memory to open this bundle.", "Close other programs.");
    // All at once into a buffer of the size agreed on: zstd keeps no window and can write no further.
    Bytes inside(size);
    if (ZSTD_decompressDCtx(context.get(), inside.data(), inside.size(), packed.data(), packed.size()) != size)
        return damaged;
    return inside;
}

} // namespace

DeviceKey device_key(std::span<const std::uint8_t, 32> seed) {
    DeviceKey key;
    crypto_sign_seed_keypair(key.open.data(), key.secret.data(), seed.data());
    return key;
}

Signature sign(ByteView message, const DeviceKey& key) {
    Signature signature{};
    crypto_sign_detached(signature.data(), nullptr, message.data(), message.size(), key.secret.data());
    return signature;
}

bool signed_by(const PublicKey& signer, const Signature& signature, ByteView message) {
    return crypto_sign_verify_detached(signature.data(), message.data(), message.size(), signer.data()) == 0;
}

Result<Bytes> seal(Content content, ByteView inside, const DeviceKey& key) {
    const Problem too_much = refused("This is too much for one bundle.", "Hand over fewer sites at a time.");
    if (inside.size() > most_unpacked)
        return too_much;
    Bytes packed(ZSTD_compressBound(inside.size()));
    const std::size_t size =
        ZSTD_compress(packed.data(), packed.size(), inside.data(), inside.size(), level);
    if (ZSTD_isError(size) != 0 || !within(size, inside.size()))
        return too_much;
    packed.resize(size);

    Bytes bundle(magic.begin(), magic.end());
    bundle.push_back(format);
    bundle.push_back(static_cast<std::uint8_t>(content));
    put_size(bundle, packed.size());
    put_size(bundle, inside.size());
    bundle.insert(bundle.end(), key.open.begin(), key.open.end());
    const Signature signature = sign(message_of(bundle, packed), key);
    bundle.insert(bundle.end(), signature.begin(), signature.end());
    bundle.insert(bundle.end(), packed.begin(), packed.end());
    return bundle;
}

Result<Sealed> unseal(ByteView bundle) {
    if (bundle.size() > most_packed)
        return refused("This is larger than a bundle may be.");
    if (bundle.size() < header_size || !std::equal(magic.begin(), magic.end(), bundle.begin()))
        return refused("This is not a bundle.", "Choose the file that was handed over.");
    if (bundle[4] != format) {
        return refused("This bundle is of another format than this version of Beckhand reads.",
                       "Open it with the version that wrote it.");
    }
    const std::uint8_t content = bundle[5];
    if (content != static_cast<std::uint8_t>(Content::log) &&
        content != static_cast<std::uint8_t>(Content::receipt)) {
        return refused("This version of Beckhand does not know what this bundle holds.",
                       "Open it with the version that wrote it.");
    }
    const ByteView packed = bundle.subspan(header_size);
    const std::size_t size = size_at(bundle, unpacked_at);
    if (size_at(bundle, packed_at) != packed.size())
        return refused("This bundle is cut short, or something was added to it.");
    if (!within(packed.size(), size))
        return refused("This bundle would unpack to more than is allowed.");

    Sealed sealed;
    Signature signature{};
    std::copy_n(bundle.begin() + signer_at, sealed.signer.size(), sealed.signer.begin());
    std::copy_n(bundle.begin() + signature_at, signature.size(), signature.begin());
    if (!signed_by(sealed.signer, signature, message_of(bundle.first(signature_at), packed)))
        return refused("This bundle was damaged or changed: its signature does not fit.");
    Result<Bytes> inside = unpacked(packed, size);
    if (!inside)
        return inside.error();
    sealed.content = static_cast<Content>(content);
    sealed.name = digest_of(bundle);
    sealed.inside = std::move(*inside);
    return sealed;
}

} // namespace beckhand::bundle
