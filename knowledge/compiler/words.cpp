// Counting words, sentences and syllables.
#include "knowledge/compiler/words.h"

#include <cctype>

namespace beckhand {

namespace {

bool is_letter_or_digit(char c) {
    const auto byte = static_cast<unsigned char>(c);
    return std::isalnum(byte) != 0 || byte >= 0x80; // bytes of other scripts and of the degree sign
}

bool is_vowel(char c) {
    return std::string_view("aeiouy").find(c) != std::string_view::npos;
}

} // namespace

std::vector<std::string> words_of(std::string_view text) {
    std::vector<std::string> words;
    std::string word;
    for (std::size_t i = 0; i <= text.size(); ++i) {
        const char c = i < text.size() ? text[i] : ' ';
        const bool joins = (c == '-' || c == '\'' || c == '.' || c == '_') && !word.empty() &&
                           i + 1 < text.size() && is_letter_or_digit(text[i + 1]);
        if (is_letter_or_digit(c) || joins) {
            word += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
        } else if (!word.empty()) {
            words.push_back(word);
            word.clear();
        }
    }
    return words;
}

std::vector<std::string> sentences_of(std::string_view text) {
    std::vector<std::string> sentences;
    std::string sentence;
    for (std::size_t i = 0; i < text.size(); ++i) {
        sentence += text[i];
        const bool ends = text[i] == '.' || text[i] == '!' || text[i] == '?';
        const bool last = i + 1 == text.size();
        if ((ends && !last && text[i + 1] == ' ') || last) {
            if (!words_of(sentence).empty()) {
                sentences.push_back(sentence);
            }
            sentence.clear();
        }
    }
    return sentences;
}

int syllables_of(std::string_view word) {
    int count = 0;
    bool in_vowels = false;
    for (const char c : word) {
        const bool vowel = is_vowel(c);
        count += vowel && !in_vowels ? 1 : 0;
        in_vowels = vowel;
    }
    const std::size_t size = word.size();
    const bool silent_e = size > 2 && word.back() == 'e' && !is_vowel(word[size - 2]) &&
                          !(word[size - 2] == 'l' && !is_vowel(word[size - 3])); // "valve", but not "table"
    if (silent_e) {
        --count;
    }
    return count < 1 ? 1 : count;
}

double reading_grade(std::string_view text) {
    const std::vector<std::string> words = words_of(text);
    const std::size_t sentences = sentences_of(text).size();
    if (words.empty() || sentences == 0) {
        return 0;
    }
    int syllables = 0;
    for (const std::string& word : words) {
        syllables += syllables_of(word);
    }
    const auto count = static_cast<double>(words.size());
    return 0.39 * count / static_cast<double>(sentences) + 11.8 * syllables / count - 15.59;
}

} // namespace beckhand
