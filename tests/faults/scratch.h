// A folder that is gone after the test, and a part of a test run in a process of its own: for locks, for
// running without the rights of an administrator, and for being killed.
#pragma once

#include <algorithm>
#include <array>
#include <csignal>
#include <filesystem>
#include <string>

#if defined(__unix__)
#include <sys/wait.h>
#include <unistd.h>
#endif

#include <cstdlib>

namespace beckhand::tests {

/// How often the kill tests kill: BECKHAND_KILLS, or 2,000.
inline int wanted_kills() {
    const char* const wanted = std::getenv("BECKHAND_KILLS");
    return wanted ? std::max(1, std::atoi(wanted)) : 2'000;
}

class ScratchFolder {
public:
    ScratchFolder() {
        std::string pattern = (std::filesystem::temp_directory_path() / "beckhand-test-XXXXXX").string();
        path_ = mkdtemp(pattern.data());
    }
    ~ScratchFolder() {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }
    ScratchFolder(const ScratchFolder&) = delete;
    ScratchFolder& operator=(const ScratchFolder&) = delete;

    [[nodiscard]] std::string file(const std::string& name) const { return (path_ / name).string(); }
    [[nodiscard]] const std::filesystem::path& path() const { return path_; }

private:
    std::filesystem::path path_;
};

#if defined(__unix__)
/// Runs `work`, which gives a text, in a forked process and hands the text back. Nothing of the log may be
/// open in this process: SQLite's handles do not survive a fork.
template <class Work>
std::string in_child(Work work) {
    std::array<int, 2> ends{};
    if (pipe(ends.data()) != 0)
        return "no pipe";
    const pid_t child = fork();
    if (child == 0) {
        // Its end is not the end of the test, which would say so otherwise.
        for (const int end : {SIGABRT, SIGSEGV, SIGBUS, SIGFPE}) std::signal(end, SIG_DFL);
        const std::string text = work();
        const bool sent = write(ends[1], text.data(), text.size()) == static_cast<ssize_t>(text.size());
        _exit(sent ? 0 : 1);
    }
    close(ends[1]);
    std::string text;
    std::array<char, 512> buffer{};
    for (ssize_t got = 0; (got = read(ends[0], buffer.data(), buffer.size())) > 0;) {
        text.append(buffer.data(), static_cast<std::size_t>(got));
    }
    close(ends[0]);
    int status = 0;
    waitpid(child, &status, 0);
    if (WIFEXITED(status) && WEXITSTATUS(status) == 0) return text;
    return text + " [the process died]" + (WIFSIGNALED(status) ? " of " + std::to_string(WTERMSIG(status)) : "");
}
#endif

} // namespace beckhand::tests
