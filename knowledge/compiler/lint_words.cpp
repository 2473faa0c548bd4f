// Lints of the text: short questions, short answers, short sentences, plain words.
#include <cstdio>

#include "knowledge/compiler/lint.h"
#include "knowledge/compiler/words.h"

namespace beckhand {

namespace {

constexpr std::size_t ask_words = 14, most_ask_words = 20;
constexpr std::size_t why_words = 12;
constexpr std::size_t answer_words = 5;
constexpr std::size_t sentence_words = 20, most_sentence_words = 28;
constexpr std::size_t name_words = 10; // two lines on a phone
// Letters that a phone of 412 points shows without scrolling past the answers: about 36 stand on a line of text and
// 24 on a line of a question. Counted in bytes, which are letters in English.
constexpr std::size_t ask_letters = 80;      // four lines of a question
constexpr std::size_t answer_letters = 32;   // one line of a button
constexpr std::size_t name_letters = 60;     // two lines
constexpr std::size_t line_letters = 120;    // one step, one reason
constexpr std::size_t text_letters = 220;    // six lines: a third of the screen
// The formula was made for passages; below this many words one long word decides the grade.
constexpr std::size_t least_graded_words = 12;
constexpr double most_grade = 8;

std::string count_of(std::size_t words) {
    return std::to_string(words) + " words";
}

std::string beginning_of(const std::string& sentence) {
    const std::size_t first = sentence.find_first_not_of(' ');
    const std::string text = first == std::string::npos ? "" : sentence.substr(first);
    return text.size() <= 40 ? text : text.substr(0, text.rfind(' ', 40)) + " ...";
}

void look_at_sentences(const std::string& path, const std::string& text, Findings& findings) {
    for (const std::string& sentence : sentences_of(text)) {
        const std::size_t words = words_of(sentence).size();
        const std::string what =
            "The sentence \"" + beginning_of(sentence) + "\" has " + count_of(words) + ".";
        if (words > most_sentence_words) {
            findings.error(path, what, "Make two of it.");
        } else if (words > sentence_words) {
            findings.warning("long_sentence", path, path, what, "Twenty are enough.");
        }
    }
}

void look_at_grade(const std::string& path, const std::string& name, const std::string& text,
                   Findings& findings) {
    const double grade = reading_grade(text);
    if (words_of(text).size() >= least_graded_words && grade > most_grade) {
        char number[16];
        std::snprintf(number, sizeof number, "%.1f", grade);
        findings.warning("hard_to_read", path + "." + name, path, "The text of \"" + name + "\" reads at school grade " + number + ".",
                         "Use shorter sentences and words; grade 8 is the limit.");
    }
}

void look_at_question(const std::string& path, const std::string& name, const std::string& text,
                      Findings& findings) {
    std::size_t marks = 0;
    for (const char c : text) {
        marks += c == '?' ? 1 : 0;
    }
    if (marks != 1 || text.back() != '?') {
        findings.error(path, "\"" + name + "\" must be one question, with one question mark at its end.");
    }
    const std::size_t words = words_of(text).size();
    if (words > most_ask_words) {
        findings.error(path, "The question has " + count_of(words) + ".", "At most 20, better 14.");
    } else if (words > ask_words) {
        findings.warning("long_question", path + "." + name, path, "The question has " + count_of(words) + ".",
                         "At most 14 are easy to take in.");
    }
}

void look_at_length(const std::string& path, const std::string& what, const std::string& text,
                    std::size_t most, Finding::Weight weight, Findings& findings) {
    const std::size_t words = words_of(text).size();
    if (words <= most) {
        return;
    }
    const std::string sentence = what + " \"" + beginning_of(text) + "\" has " + count_of(words) + ".";
    const std::string todo = "At most " + std::to_string(most) + ".";
    if (weight == Finding::Weight::error) {
        findings.error(path, sentence, todo);
    } else {
        findings.warning("long_text", path, path, sentence, todo);
    }
}

void fits_phone(const std::string& path, const std::string& name, const std::string& text, std::size_t most,
                Findings& findings) {
    if (text.size() > most) {
        findings.warning("long_for_a_phone", path + "." + name, path,
                         "The text of \"" + name + "\" has " + std::to_string(text.size()) + " letters.",
                         "At most " + std::to_string(most) + " fit on a phone beside the rest.");
    }
}

void look_at(const Observation& observation, Findings& findings) {
    const std::string path = "observation." + observation.id;
    fits_phone(path, "ask", observation.ask, ask_letters, findings);
    fits_phone(path, "look", observation.look, text_letters, findings);
    fits_phone(path, "slip", observation.slip, text_letters, findings);
    fits_phone(path, "why", observation.why, line_letters, findings);
    for (const Answer& answer : observation.answers) {
        fits_phone(path, answer.id, answer.say, answer_letters, findings);
    }
    look_at_question(path, "ask", observation.ask, findings);
    look_at_sentences(path, observation.look, findings);
    look_at_sentences(path, observation.slip, findings);
    look_at_grade(path, "ask", observation.ask, findings);
    look_at_grade(path, "look", observation.look, findings);
    look_at_length(path, "The reason", observation.why, why_words, Finding::Weight::warning, findings);
    for (std::size_t i = 0; i < observation.answers.size(); ++i) {
        look_at_length(path + ".answers." + std::to_string(i), "The answer", observation.answers[i].say,
                       answer_words, Finding::Weight::error, findings);
    }
}

void look_at(const Measurement& measurement, Findings& findings) {
    const std::string path = "measurement." + measurement.id;
    fits_phone(path, "ask", measurement.ask, ask_letters, findings);
    fits_phone(path, "how", measurement.how, text_letters, findings);
    fits_phone(path, "pitfalls", measurement.pitfalls, text_letters, findings);
    look_at_question(path, "ask", measurement.ask, findings);
    look_at_sentences(path, measurement.how, findings);
    look_at_sentences(path, measurement.pitfalls, findings);
    look_at_grade(path, "how", measurement.how, findings);
}

void look_at(const Cause& cause, Findings& findings) {
    const std::string path = "cause." + cause.id;
    fits_phone(path, "name", cause.name, name_letters, findings);
    fits_phone(path, "say", cause.say, text_letters, findings);
    fits_phone(path + ".check", "say", cause.check.say, text_letters, findings);
    fits_phone(path + ".check", "yes", cause.check.yes, name_letters, findings);
    fits_phone(path + ".check", "no", cause.check.no, name_letters, findings);
    fits_phone(path + ".fix", "keep", cause.fix.keep, text_letters, findings);
    fits_phone(path + ".proof", "see", cause.proof.see, ask_letters, findings);
    fits_phone(path + ".proof", "later", cause.proof.later, line_letters, findings);
    look_at_length(path, "The name", cause.name, name_words, Finding::Weight::warning, findings);
    look_at_sentences(path, cause.say, findings);
    look_at_sentences(path, cause.looks_like, findings);
    look_at_sentences(path, cause.mechanism, findings);
    look_at_grade(path, "say", cause.say, findings);
    look_at_sentences(path, cause.not_in_the_pump, findings);
    look_at_sentences(path + ".check", cause.check.say, findings);
    look_at_grade(path + ".check", "say", cause.check.say, findings);
    std::string steps;
    for (std::size_t i = 0; i < cause.fix.steps.size(); ++i) {
        look_at_sentences(path + ".fix.steps." + std::to_string(i), cause.fix.steps[i].say, findings);
        fits_phone(path + ".fix.steps." + std::to_string(i), "say", cause.fix.steps[i].say, line_letters, findings);
        steps += cause.fix.steps[i].say + " ";
    }
    look_at_grade(path + ".fix", "steps", steps, findings);
    look_at_sentences(path + ".fix", cause.fix.keep, findings);
    look_at_question(path + ".proof", "see", cause.proof.see, findings);
}

} // namespace

void lint_words(const Written& written, Findings& findings) {
    for (const Caution& caution : written.pack.cautions) {
        look_at_sentences("caution." + caution.id, caution.say, findings);
        fits_phone("caution." + caution.id, "title", caution.title, name_letters, findings);
        fits_phone("caution." + caution.id, "say", caution.say, text_letters, findings);
        look_at_grade("caution." + caution.id, "say", caution.say, findings);
    }
    for (const Observation& observation : written.pack.observations) {
        look_at(observation, findings);
    }
    for (const Measurement& measurement : written.pack.measurements) {
        look_at(measurement, findings);
    }
    for (const Cause& cause : written.pack.causes) {
        look_at(cause, findings);
    }
    for (std::size_t i = 0; i < written.pack.impossible.size(); ++i) {
        const std::string path = "impossible." + std::to_string(i);
        look_at_sentences(path, written.pack.impossible[i].why, findings);
        look_at_grade(path, "why", written.pack.impossible[i].why, findings);
        fits_phone(path, "why", written.pack.impossible[i].why, line_letters, findings);
    }
    for (const Service& service : written.pack.services) {
        const std::string path = "service." + service.id;
        look_at_length(path, "The name", service.name, name_words, Finding::Weight::warning, findings);
        look_at_sentences(path, service.say, findings);
        look_at_grade(path, "say", service.say, findings);
    }
}

} // namespace beckhand
