// The letters of a typed figure: typographic signs made plain, and a reader that walks over them.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

// A namespace of its own: the names are short.
namespace beckhand::typed {

[[nodiscard]] inline bool is_digit(char c) {
    return c >= '0' && c <= '9';
}
[[nodiscard]] inline bool is_space(char c) {
    return c == ' ' || c == '\t' || c == '\n' || c == '\r';
}
[[nodiscard]] inline bool is_mark(char c) {
    return c == '.' || c == ',';
}

/// Lower case, and the signs that keyboards and pasted text bring in plain letters: "5½ m³" -> "5 1/2  m3".
[[nodiscard]] std::string plain(std::string_view text);

/// Unit words as one key: "litres per minute" -> "litres/minute", "l. / min" -> "l/min".
[[nodiscard]] std::string unit_key(std::string_view words);

/// Walks over plain text; `peek` beyond the end is '\0'.
class Reader {
public:
    explicit Reader(std::string_view text) : text_(text) {}

    void skip_space() {
        while (at_ < text_.size() && is_space(text_[at_])) {
            ++at_;
        }
    }
    [[nodiscard]] bool done() const { return at_ >= text_.size(); }
    [[nodiscard]] char peek(std::size_t ahead = 0) const {
        return at_ + ahead < text_.size() ? text_[at_ + ahead] : '\0';
    }
    void step() { ++at_; }
    [[nodiscard]] bool at_number() const {
        return is_digit(peek()) || (is_mark(peek()) && is_digit(peek(1)));
    }

    std::string_view digits() {
        const std::size_t start = at_;
        while (is_digit(peek())) {
            ++at_;
        }
        return text_.substr(start, at_ - start);
    }

    // Everything up to where the next number starts. A 2 or 3 right behind a letter belongs to the unit (m3,
    // ft3/s, in2) unless letters or digits follow it, as in "2ft3in".
    std::string_view unit() {
        const std::size_t start = at_;
        while (!done()) {
            const char c = peek();
            if (is_digit(c)) {
                const char before = at_ > start ? text_[at_ - 1] : ' ';
                const char after = peek(1);
                const bool letter_before = before >= 'a' && before <= 'z';
                const bool word_after = is_digit(after) || is_mark(after) || (after >= 'a' && after <= 'z');
                const bool power = (c == '2' || c == '3') && letter_before && (!word_after || before == 'h');
                if (!power) {
                    break;
                }
            } else if (is_mark(c) && is_digit(peek(1))) {
                break;
            }
            ++at_;
        }
        return text_.substr(start, at_ - start);
    }

private:
    std::string_view text_;
    std::size_t at_ = 0;
};

} // namespace beckhand::typed
