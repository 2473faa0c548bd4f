// The mark is a backtick, which TOML knows in quotes and comments only: `c3b9` stands for the bytes of a letter
// and `60` for a backtick. One that the file writes as an escape comes bare out of the reader, so `-` behind the
// escape says that it was one; where quotes knew no escapes, `-` stands for nothing.
#include "engine/toml_ascii.h"

#include "engine/text_file.h"
#include "engine/utf8.h"

namespace beckhand {
namespace {

constexpr char mark = '`';
constexpr std::string_view byte_order_mark = "\xef\xbb\xbf", was_escaped = "`-`", bare_and_escaped = "``-`",
                           hex_digits = "0123456789abcdef";

bool beyond_ascii(char letter) {
    return static_cast<unsigned char>(letter) >= 0x80;
}

void append_mark(std::string& ascii, std::string_view bytes) {
    ascii += mark;
    for (const char byte : bytes) {
        ascii += hex_digits[static_cast<unsigned char>(byte) >> 4U];
        ascii += hex_digits[static_cast<unsigned char>(byte) & 0xfU];
    }
    ascii += mark;
}

} // namespace

std::string toml_line(const std::string& name, long line) {
    return name + ":" + std::to_string(line);
}

Result<std::string> toml_ascii(const std::string& text, const std::string& name) {
    if (const std::size_t line = overlong_line(text); line > 0) {
        return Problem{toml_line(name, static_cast<long>(line)), "This line is too long to be meant.",
                       "Check that the file is the one you mean; it is TOML with short lines."};
    }
    std::string ascii;
    long line = 1;
    std::size_t at = text.starts_with(byte_order_mark) ? byte_order_mark.size() : 0;
    while (at < text.size()) {
        const std::string_view rest = std::string_view(text).substr(at);
        std::size_t length = 1;
        if (beyond_ascii(rest[0])) {
            while (length < rest.size() && beyond_ascii(rest[length])) ++length;
            if (!is_utf8(rest.substr(0, length))) {
                return Problem{toml_line(name, line), "This is not text in UTF-8.",
                               "Save the file as plain text in UTF-8."};
            }
            append_mark(ascii, rest.substr(0, length));
        } else if (rest[0] == mark) {
            append_mark(ascii, rest.substr(0, 1));
        } else {
            if (rest[0] == '\\') {
                for (const std::string_view escape : {"\\u0060", "\\U00000060"}) {
                    if (rest.starts_with(escape)) length = escape.size();
                }
            }
            ascii += rest.substr(0, length);
            if (length > 1) ascii += was_escaped;
            line += rest[0] == '\n' ? 1 : 0;
        }
        at += length;
    }
    return ascii;
}

std::string toml_written(std::string_view ascii) {
    std::string text;
    for (std::size_t at = 0; at < ascii.size(); ++at) {
        const std::string_view rest = ascii.substr(at);
        const std::size_t end = rest[0] == mark ? rest.find(mark, 1) : rest.npos;
        if (end == rest.npos) {
            text += rest[0];
        } else if (rest.starts_with(bare_and_escaped)) {
            text += mark;
            at += bare_and_escaped.size() - 1;
        } else {
            // `-` has no whole byte in it, so nothing comes of it.
            const std::string_view digits = rest.substr(1, end - 1);
            for (std::size_t digit = 0; digit + 1 < digits.size(); digit += 2) {
                text += static_cast<char>(hex_digits.find(digits[digit]) << 4U | hex_digits.find(digits[digit + 1]));
            }
            at += end;
        }
    }
    return text;
}

Problem toml_problem(const std::string& name, long line, std::string_view said) {
    const bool stray = said.find("'`'") != std::string_view::npos || said.find("'\\`'") != std::string_view::npos;
    if (stray) {
        return {toml_line(name, line),
                "A letter stands here that only belongs in quotes, and not first behind a backslash.",
                "Put the text in quotation marks; keys are written in plain letters."};
    }
    // Where the reader names a key, it mixes the letters of its words up: those are left out.
    const bool names = said.find(mark) != std::string_view::npos;
    return {toml_line(name, line), "This is not TOML: " + std::string(said.substr(0, names ? said.find(" '") : said.npos)) + ".",
            "Mend this line; the file is TOML, plain text in UTF-8."};
}

} // namespace beckhand
