// Typographic signs and unit words in plain letters.
#include "engine/quantity/typed_text.h"

#include <utility>

namespace beckhand::typed {

// Fractions get a space before, so that "5½" stays a whole number and a part.
std::string plain(std::string_view text) {
    constexpr std::pair<std::string_view, std::string_view> signs[] = {
        {"\xC2\xA0", " "},     {"\xE2\x80\xAF", " "},     {"\xC2\xBD", " 1/2 "},  {"\xC2\xBC", " 1/4 "},
        {"\xC2\xBE", " 3/4 "}, {"\xE2\x85\x9B", " 1/8 "}, {"\xE2\x88\x92", "-"},  {"\xC2\xB0", ""},
        {"\xC2\xBA", ""},      {"\xC2\xB3", "3"},         {"\xC2\xB2", "2"},      {"\xE2\x80\xB2", "'"},
        {"\xE2\x80\x99", "'"}, {"\xE2\x80\xB3", "\""},    {"\xE2\x80\x9D", "\""}, {"\xE2\x81\x84", "/"},
        {"''", "\""},
    };
    std::string out;
    std::size_t i = 0;
    while (i < text.size()) {
        bool replaced = false;
        for (const auto& sign : signs) {
            if (text.substr(i, sign.first.size()) == sign.first) {
                out += sign.second;
                i += sign.first.size();
                replaced = true;
                break;
            }
        }
        if (replaced) {
            continue;
        }
        const char c = text[i++];
        out += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    }
    return out;
}

std::string unit_key(std::string_view words) {
    std::string key, word;
    const auto finish_word = [&key, &word] {
        key += word == "per" || word == "a" || word == "an" ? "/" : word;
        word.clear();
    };
    for (const char c : words) {
        if (is_space(c) || c == '/') {
            finish_word();
            if (c == '/') {
                key += '/';
            }
        } else if (c != '.') {
            word += c;
        }
    }
    finish_word();
    return key;
}

} // namespace beckhand::typed
