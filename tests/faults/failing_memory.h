// Allocations that fail, one at a time: the program's own (operator new) and SQLite's (sqlite3_malloc).
#pragma once

namespace beckhand::tests {

/// Of the allocations counted from now on, the `at`-th fails, and with `keeps_failing` all after it. 0: none.
/// Only the calling thread's count.
void fail_new(long at, bool keeps_failing);
/// Allocations by operator new since fail_new.
[[nodiscard]] long news();

/// While it lives operator new neither counts nor fails: for what stands in for the system below SQLite.
class Unfailing {
public:
    Unfailing();
    ~Unfailing();
    Unfailing(const Unfailing&) = delete;
    Unfailing& operator=(const Unfailing&) = delete;
};

/// The same for SQLite's. install_failing_sqlite must come first, while SQLite is not in use; it cannot be
/// taken back, so it is done in a process of its own.
void install_failing_sqlite();
void fail_sqlite(long at, bool keeps_failing);
[[nodiscard]] long sqlite_allocations();

} // namespace beckhand::tests
