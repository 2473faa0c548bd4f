// C's stream, for it tells why a file cannot be read; C++'s throws on a folder.
#include "engine/text_file.h"

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <memory>
#include <system_error>

namespace beckhand {
namespace {

Problem unreadable(const std::string& path, int why) {
    if (why == ENOENT || why == ENOTDIR) {
        return {path, "There is no such file.", "Check its name, and the folder you stand in."};
    }
    if (why == EACCES || why == EPERM) {
        return {path, "You may not read this file.", "Ask its owner, or give yourself the right to read it."};
    }
    return {path, "This file cannot be read: " + std::generic_category().message(why) + ".",
            "Check the name and that it is a file."};
}

struct Closed {
    void operator()(std::FILE* file) const { (void)std::fclose(file); }
};

} // namespace

Result<std::string> read_text_file(const std::string& path) {
    std::error_code ignored;
    if (std::filesystem::is_directory(path, ignored)) {
        return Problem{path, "This is a folder, not a file.", "Name a file in it."};
    }
    errno = 0;
    const std::unique_ptr<std::FILE, Closed> file(std::fopen(path.c_str(), "rb"));
    if (!file) return unreadable(path, errno);
    std::string text;
    char piece[65536];
    while (const std::size_t got = std::fread(piece, 1, sizeof piece, file.get())) {
        text.append(piece, got);
        if (text.size() > longest_file) {
            return Problem{path, "This file is longer than 16 MB.", "Check that it is the one you mean."};
        }
    }
    if (std::ferror(file.get()) != 0) return unreadable(path, errno);
    return text;
}

std::size_t overlong_line(std::string_view text) {
    constexpr std::size_t longest_line = 4000;
    for (std::size_t number = 1; !text.empty(); ++number) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        if (end > longest_line) return number;
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return 0;
}

} // namespace beckhand
