// The seeds of every target through the same functions that libFuzzer drives, in the ordinary build. A
// finding of a long run (tests/fuzz/run) is kept as a further seed and stands here from then on.
#include <doctest/doctest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <random>
#include <vector>

#include "tests/fuzz/targets.h"
#include "tests/support/tiny_pack.h"

namespace {

using namespace beckhand;
namespace fs = std::filesystem;

struct Target {
    const char* name;
    void (*run)(fuzz::Bytes);
};
constexpr Target targets[] = {{"case_file", fuzz::case_file},
                              {"site_file", fuzz::site_file},
                              {"pack_file", fuzz::pack_file},
                              {"bundle", fuzz::bundle}};

std::vector<std::uint8_t> content(const fs::path& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

} // namespace

// First in the file: with a stale seed nothing behind the schema number would be reached any more.
TEST_CASE("the pack that is patched is today's tiny pack; BECKHAND_SEEDS=1 writes it anew") {
    const fs::path seed = fs::path(SOURCE_FOLDER) / "tests/fuzz/seeds/pack_file/whole";
    const auto today = write_pack(beckhand::tests::tiny_pack());
    REQUIRE(today.has_value());
    if (std::getenv("BECKHAND_SEEDS") != nullptr) {
        std::ofstream(seed, std::ios::binary)
            .write(reinterpret_cast<const char*>(today->data()), static_cast<std::streamsize>(today->size()));
    }
    const std::vector<std::uint8_t> kept = content(seed);
    const auto read = read_pack(std::as_bytes(fuzz::Bytes(kept)), "whole");
    REQUIRE_MESSAGE(read.has_value(), "stale: run this test with BECKHAND_SEEDS=1");
    CHECK(read->hash == beckhand::tests::tiny_pack().hash);
}

TEST_CASE("every reader keeps its promises on every seed, on its first half and with any byte changed") {
    std::mt19937 random(20'240'501);
    for (const Target& target : targets) {
        int seeds = 0;
        for (const auto& entry : fs::directory_iterator(fs::path(SOURCE_FOLDER) / "tests/fuzz/seeds" / target.name)) {
            const std::vector<std::uint8_t> seed = content(entry.path());
            CAPTURE(entry.path().string());
            target.run(seed);
            target.run(fuzz::Bytes(seed).first(seed.size() / 2));
            const int changes = seed.size() > 10'000 ? 5 : 40;
            for (int change = 0; change < changes && !seed.empty(); ++change) {
                std::vector<std::uint8_t> changed = seed;
                changed[random() % changed.size()] = static_cast<std::uint8_t>(random());
                target.run(changed);
            }
            ++seeds;
        }
        CHECK_MESSAGE(seeds >= 2, target.name);
    }
}
