#include "app/handover/read_back.h"

#include <algorithm>
#include <random>

namespace beckhand {
namespace {

constexpr std::size_t most_wrong = 3;

/// The command: what the caution says first.
std::string first_sentence(const std::string& text) {
    const std::size_t stop = text.find(". ");
    return stop == std::string::npos ? text : text.substr(0, stop + 1);
}

/// Whether a caution's text also holds how another begins ("Wear eye protection"), whatever its first letter:
/// then that one would not be a wrong answer.
bool says_it_too(const std::string& say, const std::string& other) {
    std::size_t end = other.find(' ');
    if (end != std::string::npos) end = other.find(' ', end + 1);
    const std::string begins = other.substr(1, end == std::string::npos ? end : end - 1);
    return say.find(begins) != std::string::npos;
}

// FNV-1a, 64 bits (Fowler, Noll, Vo), so that a question does not depend on the library's hash.
std::uint64_t seed_of(const std::string& text, std::size_t turn) {
    std::uint64_t hash = 1469598103934665603ULL;
    for (const char c : text) hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211ULL;
    return hash + turn;
}

/// std::shuffle may differ from library to library; this does not.
void shuffle(std::vector<std::string>& things, std::mt19937_64& random) {
    for (std::size_t i = things.size(); i > 1; --i) {
        std::swap(things[i - 1], things[static_cast<std::size_t>(random() % i)]);
    }
}

/// The right answer among at most three of the others, in an order of its own.
void lay_out(const std::string& right, std::vector<std::string> others, std::mt19937_64& random, ReadBackQuestion& question) {
    std::sort(others.begin(), others.end());
    others.erase(std::unique(others.begin(), others.end()), others.end());
    others.erase(std::remove(others.begin(), others.end(), right), others.end());
    shuffle(others, random);
    if (others.size() > most_wrong) others.resize(most_wrong);
    others.push_back(right);
    shuffle(others, random);
    question.right = static_cast<std::size_t>(std::find(others.begin(), others.end(), right) - others.begin());
    question.answers = std::move(others);
}

ReadBackQuestion about_danger(const Pack& pack, const Brief& brief, std::mt19937_64& random) {
    ReadBackQuestion question;
    if (brief.cautions.empty()) { // a pack without cautions: only for its own tests
        question.ask = "What do you do where you are not sure?";
        question.line = "Stop, and call.";
        lay_out(question.line, {"Try it, and see.", "Turn every valve once.", "Ask nobody."}, random, question);
        return question;
    }
    const BriefCaution& first = brief.cautions.front();
    std::vector<std::string> others;
    for (const Caution& caution : pack.cautions) {
        const std::string other = first_sentence(caution.say);
        if (!says_it_too(first.say, other)) others.push_back(other);
    }
    question.ask = first.title + ": what comes first?";
    question.line = first.title + ". " + first.say;
    lay_out(first_sentence(first.say), std::move(others), random, question);
    return question;
}

ReadBackQuestion about_sound(const Brief& brief, std::mt19937_64& random) {
    ReadBackQuestion question;
    const auto& yardstick = brief.yardstick;
    if (!yardstick) {
        question.ask = "How should it run here, in figures?";
        const std::string right = "Nobody knows yet: it was never measured.";
        question.line = right;
        lay_out(right, {"As it runs now, whatever that is.", "The faster the beat, the better.", "As loud as it can."},
                random, question);
        return question;
    }
    question.ask = yardstick->name + ": what is sound here?";
    const auto band = [&](double times) {
        return band_text(yardstick->kind, times * yardstick->least_si, times * yardstick->most_si, brief.units);
    };
    const std::string right = band(1);
    question.line = yardstick->name + ": " + right + " is sound.";
    // Bands beside the right one, far enough away not to meet it.
    const double width = yardstick->least_si > 0 ? yardstick->most_si / yardstick->least_si : 2;
    const double away = std::max(1.5, 1.25 * width);
    lay_out(right, {band(1 / away), band(away), band(away * away)}, random, question);
    return question;
}

ReadBackQuestion about_next(const Pack& pack, const Brief& brief, std::mt19937_64& random) {
    ReadBackQuestion question;
    question.ask = "What is the one thing to do next?";
    question.line = brief.next.what;
    std::vector<std::string> others;
    for (const Cause& cause : pack.causes) others.push_back(first_sentence(cause.check.say));
    // A right answer in full among first sentences would show itself.
    lay_out(first_sentence(brief.next.what), std::move(others), random, question);
    return question;
}

} // namespace

ReadBackQuestion read_back_question(const Pack& pack, const Brief& brief, std::string_view topic, std::size_t turn) {
    std::mt19937_64 random(seed_of(brief.site + brief.made_on + std::string(topic), turn));
    ReadBackQuestion question = topic == "danger"  ? about_danger(pack, brief, random)
                                : topic == "sound" ? about_sound(brief, random)
                                                   : about_next(pack, brief, random);
    question.topic = topic;
    return question;
}

std::vector<HandoverState> handover_states(const Handover& handover, const MinutesAhead& ahead) {
    const auto at = [&](Instant when) { return day_text(when, ahead) + ", " + clock_text(when, ahead); };
    std::vector<HandoverState> states;
    states.push_back({"Offered to " + handover.to + " by " + handover.from + ", " + at(handover.offered_at), true});
    states.push_back(handover.read_back()
                         ? HandoverState{"Read back by " + handover.to + ", " + at(handover.read_back_at), true}
                         : HandoverState{"Not read back yet", false});
    states.push_back(handover.received()
                         ? HandoverState{"Received by " + handover.received_by + ", " + at(handover.received_at), true}
                         : HandoverState{"No receipt yet", false});
    return states;
}

} // namespace beckhand
