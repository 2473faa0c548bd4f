#include "app/handover/brief_text.h"

#include <algorithm>

namespace beckhand {

std::string brief_head(const Brief& brief) {
    return brief.site + ", " + brief.made_on + (brief.by.empty() ? "" : ", " + brief.by) + ", pack " + brief.pack_version;
}

std::string ground_words(const BriefLine& line) {
    const std::string word(word_of(line.ground));
    return word.empty() || line.from.empty() ? word : word + ", " + line.from;
}

std::string tools_words(const NextCheck& next) {
    std::string words;
    for (const std::string& tool : next.tools) words += (words.empty() ? "Take: " : ", ") + tool;
    return words.empty() ? words : words + ".";
}

std::string mind_words(const Brief& brief) {
    std::string words;
    for (const BriefCaution& caution : brief.cautions) {
        const std::vector<std::string>& here = brief.next.cautions;
        if (std::find(here.begin(), here.end(), caution.id) != here.end()) words += (words.empty() ? "" : "; ") + caution.title;
    }
    return words.empty() ? words : words + ".";
}

std::string brief_text(const Brief& brief) {
    std::string text = "Handover brief: " + brief_head(brief) + "\n\n";
    for (const BriefCaution& caution : brief.cautions) {
        text += std::string(caution.stop ? "STOP  " : "!     ") + caution.title + (caution.holds_now ? " (holds now)" : "") +
                ": " + caution.say + (caution.defer_to.empty() ? "" : " (" + caution.defer_to + ")") + "\n";
    }
    const NextCheck& next = brief.next;
    text += "\nDo next\n  " + next.what + "\n";
    if (const std::string mind = mind_words(brief); !mind.empty()) text += "  ! " + mind + "\n";
    if (!next.how.empty()) text += "  " + next.how + "\n";
    if (!next.why.empty()) text += "  Why: " + next.why + "\n";
    if (!tools_words(next).empty()) text += "  " + tools_words(next) + "\n";
    for (const BriefMeaning& meaning : next.results) text += "  - " + meaning.result + ": " + meaning.means + "\n";
    if (!next.right.empty()) text += "  Put right looks like this: " + next.right + "\n";
    for (const BriefSection& section : brief.sections) {
        text += "\n" + section.heading + "\n";
        for (const BriefLine& line : section.lines) {
            const std::string ground = ground_words(line);
            text += "  " + line.text + (ground.empty() ? "" : "  [" + ground + "]") + "\n";
        }
    }
    return text;
}

} // namespace beckhand
