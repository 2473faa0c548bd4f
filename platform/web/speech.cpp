// Sentences are read aloud by the browser's own voice, where it has one that needs no network.
#include "platform/desktop/speech.h"

#include "platform/web/calls.h"

namespace beckhand {

struct Speech::Inside {};   // the browser has it all

Speech::Speech() = default;
Speech::~Speech() = default;

Outcome Speech::say(std::vector<std::string> sentences) {
    std::string all;
    for (const std::string& sentence : sentences) all += sentence + "\n";
    if (beckhand_say(all.c_str()) != 0) return Done{};
    return Problem{"", "This browser has no voice to read with.", "Read it from the screen."};
}

void Speech::hush() { beckhand_hush(); }

} // namespace beckhand
