// The program run as a process: words in, exit code and text out.
#pragma once

#include <cstdlib>
#include <fstream>
#include <iterator>
#include <string>

#include <sys/wait.h>

#include "tests/faults/scratch.h"

namespace beckhand::tests {

inline bool holds(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

struct Ran {
    int code = -1;      // -1: it did not end by itself
    std::string out, err;
};

/// A folder with the files that a test writes, the log in it, and the program run beside them.
class Desk {
public:
    std::string write(const std::string& name, const std::string& content) const {
        std::ofstream(folder_.file(name), std::ios::binary) << content;
        return folder_.file(name);
    }
    [[nodiscard]] std::string file(const std::string& name) const { return folder_.file(name); }
    /// `words` as typed behind the program's name; `$D` stands for this folder, `typed` is its input.
    [[nodiscard]] Ran run(const std::string& words, const std::string& typed = "", const std::string& before = "") const {
        write("typed", typed);
        const std::string line = "D='" + folder_.path().string() + "'; cd \"$D\"; export XDG_DATA_HOME=\"$D/home\"; " + before + " '" +
                                 std::string(PROGRAM) + "' " + words + " <\"$D/typed\" >\"$D/out\" 2>\"$D/err\"";
        const int status = std::system(line.c_str());
        return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, read("out"), read("err")};
    }

private:
    [[nodiscard]] std::string read(const std::string& name) const {
        std::ifstream file(folder_.file(name), std::ios::binary);
        return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
    }
    ScratchFolder folder_;
};

} // namespace beckhand::tests
