#include "engine/toml_guard.h"

#include <string_view>

#include "engine/records/event_json.h"
#include "engine/text_file.h"

namespace beckhand {
namespace {

/// Bytes that are no letter in UTF-8 end the reading right there: the reader says so itself.
bool is_letter(const std::string& text, std::size_t at) {
    const auto lead = static_cast<unsigned char>(text[at]);
    return is_utf8(text.substr(at, lead >= 0xf0 ? 4 : lead >= 0xe0 ? 3 : 2));
}

/// The first line with a byte beyond ASCII outside of quotes and comments, where TOML 1.0 has no use for
/// one; 0 when there is none. toml++ 3.3 asks there whether U+00A1 to U+0499 are blanks, in code it calls
/// unreachable, so it must not see them.
int line_of_stray_letter(const std::string& text) {
    int line = 1;
    std::string_view quote; // the mark that ends the text we are in: ", ', three of them, or a line's end
    char before = '\n';     // the last one that is not a blank; quotes open a text only where one can begin
    for (std::size_t i = 0; i < text.size(); ++i) {
        const std::string_view rest = std::string_view(text).substr(i);
        line += text[i] == '\n' ? 1 : 0;
        if (quote.empty()) {
            if (static_cast<unsigned char>(text[i]) >= 0x80 && !(i < 3 && text.starts_with("\xef\xbb\xbf")))
                return is_letter(text, i) ? line : 0;
            const bool may_open = std::string_view("\n=[,{").find(before) != std::string_view::npos;
            if (text[i] != ' ' && text[i] != '\t' && text[i] != '\r')
                before = text[i];
            for (const std::string_view mark : {"\"\"\"", "'''", "\"", "'", "#"}) {
                if (rest.starts_with(mark) && (may_open || mark == "#")) {
                    quote = mark == "#" ? "\n" : mark;
                    i += mark.size() - 1;
                    break;
                }
            }
        } else if (rest.starts_with(quote)) {
            // A text of three quotes may end with two more of its own.
            i += quote.size() - 1;
            while (quote.size() == 3 && i + 1 < text.size() && text[i + 1] == quote[0])
                ++i;
            before = text[i];
            quote = {};
        } else if (text[i] == '\n' && quote.size() == 1) {
            before = '\n';
            quote = {};
        } else if (text[i] == '\\' && quote[0] == '"') {
            // Behind a backslash it looks for blanks too: at once, or where a line goes on in the next one.
            const std::size_t next = text.find_first_not_of(quote.size() == 3 ? " \t\r\n" : "", i + 1);
            if (next != std::string::npos && static_cast<unsigned char>(text[next]) >= 0x80)
                return is_letter(text, next) ? line : 0;
            i += next == i + 1 && text[next] != '\n' ? 1u : 0u;
        }
    }
    return 0;
}

} // namespace

std::optional<Problem> unsafe_toml(const std::string& text, const std::string& name) {
    if (const std::size_t line = overlong_line(text); line > 0) {
        return Problem{name + ":" + std::to_string(line), "This line is too long to be meant.",
                       "Check that the file is the one you mean; it is TOML with short lines."};
    }
    if (const int line = line_of_stray_letter(text); line > 0) {
        return Problem{name + ":" + std::to_string(line),
                       "A letter stands here that only belongs in quotes, and not first behind a backslash.",
                       "Put the text in quotation marks; keys are written in plain letters."};
    }
    return std::nullopt;
}

} // namespace beckhand
