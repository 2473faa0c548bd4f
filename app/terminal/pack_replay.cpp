#include "app/terminal/pack_replay.h"

#include "app/terminal/script.h"

namespace beckhand {

CaseFile case_of(const Visit& visit) {
    CaseFile file;
    file.site = visit.site;
    file.measured = visit.as_found;
    for (const Answered& given : visit.answers) {
        file.answers[given.observation] = given.answer;
        if (given.told) file.first_told.push_back(given.observation);
    }
    return file;
}

std::string finding_of(const CaseFile& file, PackAtWork& under) {
    const PlayedCase played = play_case(file, under.pack, under.model, under.evidence);
    return played.cause ? under.pack.causes[*played.cause].id : "nothing";
}

std::string endings_text(std::span<const Ending> endings) {
    std::string text;
    std::size_t changed = 0;
    for (const Ending& ending : endings) {
        if (!ending.changed()) continue;
        ++changed;
        text += "  " + ending.name + ": " + ending.before + " -> " + ending.after + "\n";
    }
    return std::to_string(changed) + " of " + std::to_string(endings.size()) + (changed == 1 ? " ends" : " end") +
           " differently.\n" + text;
}

} // namespace beckhand
