// How hard a text is to read, counted: words, sentences, syllables and the school grade they make.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace beckhand {

/// The words of a text, lower case, without punctuation; "check-valve" is one word, so is "3.5".
[[nodiscard]] std::vector<std::string> words_of(std::string_view text);

/// Cut after . ! or ? where a space or the end follows.
[[nodiscard]] std::vector<std::string> sentences_of(std::string_view text);

/// Groups of vowels, without a silent e at the end; at least one. An estimate, right for most words.
[[nodiscard]] int syllables_of(std::string_view word);

/// School grade: 0.39 words/sentence + 11.8 syllables/word - 15.59. Source: Kincaid, Fishburne, Rogers and
/// Chissom 1975, "Derivation of new readability formulas for Navy enlisted personnel". 0 without words.
[[nodiscard]] double reading_grade(std::string_view text);

} // namespace beckhand
