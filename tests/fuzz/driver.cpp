// One libFuzzer program for the target that FUZZ_TARGET names. Only built with -DBECKHAND_FUZZ=ON.
#include "tests/fuzz/targets.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    beckhand::fuzz::FUZZ_TARGET(beckhand::fuzz::Bytes(data, size));
    return 0;
}
