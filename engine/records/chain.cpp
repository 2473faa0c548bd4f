#include "engine/records/chain.h"

#include <cstdlib>

#include <sodium.h>

namespace beckhand {

void put(std::string& bytes, std::int64_t number) {
    auto rest = static_cast<std::uint64_t>(number);
    for (int i = 0; i < 8; ++i, rest >>= 8)
        bytes += static_cast<char>(rest & 0xff);
}

void put(std::string& bytes, std::string_view text) {
    put(bytes, static_cast<std::int64_t>(text.size()));
    bytes += text;
}

Hash hash_of_bytes(std::string_view bytes) {
    if (sodium_init() < 0)
        std::abort(); // no randomness source on this machine: nothing of libsodium may be used
    Hash hash{};
    static_assert(sizeof hash == crypto_generichash_BYTES);
    crypto_generichash(hash.data(), hash.size(), reinterpret_cast<const unsigned char*>(bytes.data()),
                       bytes.size(), nullptr, 0);
    return hash;
}

Hash hash_of(const LogEntry& entry) {
    std::string bytes(reinterpret_cast<const char*>(entry.prev.data()), entry.prev.size());
    bytes += "beckhand entry 1\n";
    put(bytes, entry.device);
    put(bytes, entry.number);
    put(bytes, entry.subject);
    put(bytes, entry.place);
    put(bytes, entry.at.ms);
    put(bytes, entry.by);
    put(bytes, entry.kind);
    put(bytes, entry.headline);
    put(bytes, entry.json);
    return hash_of_bytes(bytes);
}

} // namespace beckhand
