// Packs: bytes that are not a whole, unchanged pack are refused with a sentence. An input that starts with
// "p" is a list of patches to a small sound pack (three bytes of place, one of value), so that most inputs
// get past SQLite's own first look.
#include "tests/fuzz/targets.h"

#include <fstream>
#include <iterator>
#include <vector>

#include "engine/diagnosis/pack_file.h"

namespace beckhand::fuzz {
namespace {

const std::vector<std::uint8_t>& sound_pack() {
    static const std::vector<std::uint8_t> pack = [] {
        std::ifstream file(SOURCE_FOLDER "/tests/fuzz/seeds/pack_file/whole", std::ios::binary);
        std::vector<std::uint8_t> bytes{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
        must(read_pack(std::as_bytes(Bytes(bytes)), "seed").has_value(), "the seed is a sound pack");
        return bytes;
    }();
    return pack;
}

std::vector<std::uint8_t> patched(Bytes patches) {
    std::vector<std::uint8_t> pack = sound_pack();
    for (; patches.size() >= 4; patches = patches.subspan(4)) {
        const std::size_t place = std::size_t{patches[0]} << 16 | std::size_t{patches[1]} << 8 | patches[2];
        pack[place % pack.size()] = patches[3];
    }
    return pack;
}

} // namespace

void pack_file(Bytes bytes) {
    std::vector<std::uint8_t> whole;
    if (!bytes.empty() && bytes[0] == 'p') {
        whole = patched(bytes.subspan(1));
        bytes = whole;
    }
    const Result<Pack> read = read_pack(std::as_bytes(bytes), "fuzz");
    if (read)
        must(content_hash(*read) == read->hash, "a pack that was read has the hash it names");
    else
        must(!read.error().what.empty(), "a refused pack says why");
}

} // namespace beckhand::fuzz
