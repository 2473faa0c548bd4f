#include "tests/faults/failing_memory.h"

#include <cstdlib>
#include <new>

#include <sqlite3.h>

namespace beckhand::tests {
namespace {

struct Countdown {
    long count = 0, at = 0;
    bool keeps = false;
    int paused = 0;
    bool fails() {
        if (paused > 0)
            return false;
        ++count;
        return at > 0 && (count == at || (keeps && count > at));
    }
};

thread_local Countdown of_new;
Countdown of_sqlite;
sqlite3_mem_methods usual;

void* failing_malloc(int size) {
    return of_sqlite.fails() ? nullptr : usual.xMalloc(size);
}
void* failing_realloc(void* old, int size) {
    return of_sqlite.fails() ? nullptr : usual.xRealloc(old, size);
}

} // namespace

void fail_new(long at, bool keeps_failing) {
    of_new = {0, at, keeps_failing, 0};
}
long news() {
    return of_new.count;
}

Unfailing::Unfailing() {
    ++of_new.paused;
}
Unfailing::~Unfailing() {
    --of_new.paused;
}

void install_failing_sqlite() {
    sqlite3_shutdown();
    sqlite3_config(SQLITE_CONFIG_GETMALLOC, &usual);
    sqlite3_mem_methods failing = usual;
    failing.xMalloc = failing_malloc;
    failing.xRealloc = failing_realloc;
    sqlite3_config(SQLITE_CONFIG_MALLOC, &failing);
    sqlite3_config(SQLITE_CONFIG_LOOKASIDE, 0, 0); // or most allocations would never be asked for
    sqlite3_initialize();
}
void fail_sqlite(long at, bool keeps_failing) {
    of_sqlite = {0, at, keeps_failing, 0};
}
long sqlite_allocations() {
    return of_sqlite.count;
}

static bool new_fails() {
    return of_new.fails();
}

} // namespace beckhand::tests

// The whole test program allocates through these; they do nothing of their own until fail_new is called.
void* operator new(std::size_t size) {
    if (beckhand::tests::new_fails())
        throw std::bad_alloc();
    void* const memory = std::malloc(size > 0 ? size : 1);
    if (memory == nullptr)
        throw std::bad_alloc();
    return memory;
}
void operator delete(void* memory) noexcept {
    std::free(memory);
}
void operator delete(void* memory, std::size_t) noexcept {
    std::free(memory);
}
