// The system's own functions are stood in for in the whole test program; they do nothing of their own until
// fail_call is called.
#include "tests/faults/failing_calls.h"

#include <cerrno>
#include <cstdarg>

#include <fcntl.h>
#include <sys/syscall.h>
#include <unistd.h>

namespace beckhand::tests {
namespace {

struct Calls {
    bool counting = false, keeps = false;
    long count = 0, at = 0;
    int error = 0;
};
thread_local Calls calls;

bool call_fails() {
    if (!calls.counting)
        return false;
    ++calls.count;
    const bool fails = calls.at > 0 && (calls.count == calls.at || (calls.keeps && calls.count > calls.at));
    if (fails)
        errno = calls.error;
    return fails;
}

} // namespace

void fail_call(long at, bool keeps_failing, int error) {
    calls = {true, keeps_failing, 0, at, error};
}
long stop_failing_calls() {
    calls.counting = false;
    return calls.count;
}

static bool fails() {
    return call_fails();
}

} // namespace beckhand::tests

extern "C" {

int open(const char* name, int flags, ...) {
    std::va_list more;
    va_start(more, flags);
    const unsigned rights = (flags & O_CREAT) != 0 ? va_arg(more, unsigned) : 0U;
    va_end(more);
    if (beckhand::tests::fails())
        return -1;
    return static_cast<int>(syscall(SYS_openat, AT_FDCWD, name, flags, rights));
}

ssize_t write(int file, const void* bytes, size_t size) {
    if (!beckhand::tests::fails())
        return syscall(SYS_write, file, bytes, size);
    const int error = errno;
    (void)syscall(SYS_write, file, bytes, size / 2);
    errno = error;
    return -1;
}

ssize_t read(int file, void* bytes, size_t size) {
    return beckhand::tests::fails() ? -1 : syscall(SYS_read, file, bytes, size);
}

int fsync(int file) {
    return beckhand::tests::fails() ? -1 : static_cast<int>(syscall(SYS_fsync, file));
}

int close(int file) {
    const bool failed = beckhand::tests::fails();
    const int error = errno;
    const auto code = static_cast<int>(syscall(SYS_close, file));
    if (!failed)
        return code;
    errno = error;
    return -1;
}

int rename(const char* from, const char* to) noexcept {
    return beckhand::tests::fails() ? -1 : static_cast<int>(syscall(SYS_rename, from, to));
}

} // extern "C"
