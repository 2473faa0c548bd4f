// One visit read again, line by line, as it was said.
#include "app/log/log_views.h"
#include "app/log/record_text.h"

namespace beckhand {
namespace {

constexpr const char* title = "Record of a visit";
constexpr std::string_view time_gap = "  ";
constexpr const char* go_on = "Go on with visit";

} // namespace

std::optional<Intent> record_view(const State& state, const Pack& pack, kit::Kit& kit) {
    std::optional<Intent> did;
    kit.begin_screen("record", title);
    kit.main();
    bool head = true;
    for (const std::string& line : record_lines(pack, state.record_events, state.units, state.minutes_ahead)) {
        // The time of day stands before two spaces.
        const std::size_t time_ends = line.find(time_gap);
        if (head) kit.words(kit::Type::heading, line);
        else if (time_ends == std::string::npos) kit.words(kit::Type::body, line);
        else kit.note_and_words(line.substr(0, time_ends), line.substr(time_ends + time_gap.size()));
        head = false;
    }
    kit.bar();
    if (kit.bar_button("back", "Back", kit::Slot::left)) did = Back{};
    const Visit visit = fold(state.record_events);
    if (!visit.closed && kit.bar_button("visit", go_on, kit::Slot::right, true, true)) {
        did = ResumeVisit{state.record_id};
    }
    kit.end_screen();
    return did;
}

} // namespace beckhand
