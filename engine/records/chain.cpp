#include "engine/records/chain.h"

#include <cstdlib>

#include <sodium.h>

#include "engine/records/erasing.h"

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

std::string bytes_of(const std::vector<Hash>& hashes) {
    std::string bytes;
    for (const Hash& hash : hashes)
        bytes.append(reinterpret_cast<const char*>(hash.data()), hash.size());
    return bytes;
}

Hash mark_of(std::string_view text, std::string_view secret) {
    std::string bytes = "beckhand mark 1\n";
    put(bytes, secret);
    put(bytes, text);
    return hash_of_bytes(bytes);
}

Hash hash_of(const LogEntry& entry) {
    std::string bytes = bytes_of({entry.prev});
    bytes += "beckhand entry 1\n";
    put(bytes, entry.device);
    put(bytes, entry.number);
    put(bytes, entry.subject);
    put(bytes, entry.place);
    put(bytes, entry.at.ms);
    put(bytes, entry.kind);
    put(bytes, entry.headline);
    put(bytes, bytes_of(entry.after));
    bytes += bytes_of({entry.by_erased ? *entry.by_erased : mark_of_by(entry),
                       entry.json_erased ? *entry.json_erased : mark_of_json(entry)});
    return hash_of_bytes(bytes);
}

} // namespace beckhand
