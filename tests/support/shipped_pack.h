// The pack that the program ships, read from the file that the build made.
#pragma once

#include <cstdlib>
#include <fstream>
#include <iostream>
#include <iterator>
#include <string>

#include "engine/diagnosis/pack_file.h"

namespace beckhand::tests {

inline const Pack& shipped_pack() {
    static const Pack pack = [] {
        std::ifstream file(PACK_FILE, std::ios::binary);
        const std::string text((std::istreambuf_iterator<char>(file)), std::istreambuf_iterator<char>());
        Result<Pack> read = read_pack(std::as_bytes(std::span(text.data(), text.size())), PACK_FILE);
        if (!read) {
            std::cerr << read.error().sentence() << "\n";
            std::abort();
        }
        return *read;
    }();
    return pack;
}

} // namespace beckhand::tests
