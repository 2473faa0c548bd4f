// What a program asks of the system to write a file, failing one at a time: open, write, fsync, close, rename and
// reading back. For what is written beside SQLite; disk.h is the disk under the log.
#pragma once

namespace beckhand::tests {

/// Of the calls of this thread from now on the `at`-th fails with this error, and with `keeps_failing` all after
/// it; 0: none, they are only counted. A write that fails has written the half.
void fail_call(long at, bool keeps_failing, int error);
/// Calls since fail_call; none is counted, and none fails, from here on.
long stop_failing_calls();

} // namespace beckhand::tests
