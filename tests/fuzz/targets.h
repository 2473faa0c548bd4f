// What is fed with damaged and invented bytes: every reader of something that comes from outside. Each
// takes any bytes and gives nothing back; it aborts where a reader breaks a promise, and must never crash
// or touch memory that is not its own. driver.cpp makes a libFuzzer program of one of them; replay_test.cpp
// plays the seeds through the same functions in every ordinary build.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

namespace beckhand::fuzz {

using Bytes = std::span<const std::uint8_t>;

void case_file(Bytes bytes);  // app/terminal/case_file.h: a case, TOML
void site_file(Bytes bytes);  // the same: a site, TOML
void pack_file(Bytes bytes);  // engine/diagnosis/pack_file.h: a pack, SQLite
void bundle(Bytes bytes);     // engine/bundle: sealed, unpacked and framed bytes

/// A promise of a reader that must hold for every input.
void must(bool holds, const char* promise);

} // namespace beckhand::fuzz
