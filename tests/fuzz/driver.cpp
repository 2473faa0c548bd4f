// One libFuzzer program for the target that FUZZ_TARGET names. Only built with -DBECKHAND_FUZZ=ON.
#include "tests/fuzz/targets.h"

#include <sqlite3.h>

/// A run is one thread: without locks and counts of SQLite's it is a good part shorter.
extern "C" int LLVMFuzzerInitialize(int*, char***) {
    sqlite3_config(SQLITE_CONFIG_SINGLETHREAD);
    sqlite3_config(SQLITE_CONFIG_MEMSTATUS, 0);
    return 0;
}

/// Where AddressSanitizer notes the way to each allocation and keeps each freed one for long, it takes the larger
/// part of a run. A finding is run again by itself, with all of it, to see where it comes from.
extern "C" const char* __asan_default_options() {
    return "malloc_context_size=1:quarantine_size_mb=16:thread_local_quarantine_size_kb=64";
}

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    beckhand::fuzz::FUZZ_TARGET(beckhand::fuzz::Bytes(data, size));
    return 0;
}
