// The repair on two pages: first every caution in full with tools and parts; once that was read, the steps, each
// under its own cautions. A step is ticked by the person or skipped by the person, never by the program.
#include <algorithm>

#include "app/figures.h"
#include "app/visit/visit_views.h"
#include "engine/diagnosis/steps.h"

namespace beckhand {
namespace {

constexpr const char* fix_of = "Put right: ";
constexpr const char* read_first = "Read these first";
constexpr const char* take = "Take:";
constexpr const char* parts = "Parts:";
constexpr const char* used_heading = "Parts used up";
constexpr const char* used_words = "Tick what was used: the record keeps it, and it stands on the list to carry.";
constexpr const char* one_more = "One more: ";
constexpr const char* other_part = "Another part";
constexpr const char* other_used = "This one was used";
constexpr const char* have_read = "Read, go on";
constexpr const char* more_below = "More below";
constexpr const char* skipped = "Skipped: ";
constexpr const char* skip_this = "Skip this step";
constexpr const char* tick_or_skip = " Tick or skip each.";
constexpr const char* list_complete = "That was the last step.";
constexpr const char* all_done = "All done";

/// The event that ticked or skipped this step, to take it back by its number.
std::optional<int> ticked_by(const State& state, const std::string& cause, int step) {
    std::optional<int> number;
    for (const Event& event : state.events) {
        const auto* const ticked = std::get_if<StepTicked>(&event.what);
        if (ticked && ticked->cause == cause && ticked->step == step) number = event.number;
    }
    return number;
}

/// One step under its own cautions. `current`: the first that is neither done nor skipped. `more`: some step is still to
/// be done or skipped.
std::optional<Intent> step_rows(const State& state, const Pack& pack, const Cause& cause, int index, bool current, bool more,
                                std::optional<bool> ticked, kit::Kit& kit) {
    std::optional<Intent> did;
    const Step& step = cause.fix.steps[static_cast<std::size_t>(index)];
    const std::string number = std::to_string(index + 1);
    // What was read in full before the steps is named again; once a step is behind, the list gets shorter.
    if (!ticked) {
        std::vector<std::string> unread, read;
        for (const std::string& id : step.cautions) {
            const bool was = std::find(cause.fix.cautions.begin(), cause.fix.cautions.end(), id) != cause.fix.cautions.end();
            (was ? read : unread).push_back(id);
        }
        caution_cards(pack, kit, unread);
        mind_line(pack, kit, read);
    }
    const bool done = ticked.value_or(false);
    if (kit.tick("step_" + number, (ticked && !done ? skipped : "") + number + ". " + step.say, done)) {
        const std::optional<int> event = done ? ticked_by(state, cause.id, index) : std::nullopt;
        if (event) did = Say{TookBack{*event}};
        else did = Say{StepTicked{cause.id, index, true}};
    }
    // A gate left open, a vessel not let down: in the steps that follow it can hurt.
    if (ticked && !done && more && !step.cautions.empty()) {
        kit.words(kit::Type::body, skipped_guard_words, kit::Tone::stop);
        caution_cards(pack, kit, step.cautions);
    }
    if (current && kit.quiet("skip_" + number, skip_this)) did = Say{StepTicked{cause.id, index, false}};
    return did;
}

/// The latest word of this visit that some of a part were used, to take it back by its number.
std::optional<int> used_by(const State& state, const std::string& part) {
    std::optional<int> number;
    const std::vector<int>& live = state.scene.visit.undoable;
    for (const Event& event : state.events) {
        const auto* const used = std::get_if<PartUsed>(&event.what);
        if (used && used->part == part && std::find(live.begin(), live.end(), event.number) != live.end())
            number = event.number;
    }
    return number;
}

/// The fix's own parts, then others that were used at this visit; each ticked once and counted up below.
std::optional<Intent> part_rows(const State& state, const Cause& cause, kit::Kit& kit) {
    std::optional<Intent> did;
    std::vector<std::string> rows = cause.fix.parts;
    for (const auto& [part, count] : state.scene.visit.parts_used) {
        if (std::find(rows.begin(), rows.end(), part) == rows.end()) rows.push_back(part);
    }
    kit.words(kit::Type::heading, used_heading);
    kit.words(kit::Type::small, used_words);
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const auto held = state.scene.visit.parts_used.find(rows[i]);
        const int count = held == state.scene.visit.parts_used.end() ? 0 : held->second;
        const std::string number = std::to_string(i + 1);
        if (kit.tick("used_" + number, rows[i] + (count > 1 ? ", " + std::to_string(count) : ""), count > 0)) {
            const std::optional<int> event = used_by(state, rows[i]);
            did = event ? Say{TookBack{*event}} : Say{PartUsed{rows[i], 1}};
        }
        if (count > 0 && kit.quiet("more_" + number, one_more + rows[i])) did = Say{PartUsed{rows[i], 1}};
    }
    std::string part = state.part;
    if (kit.text_field("part", other_part, part)) did = NamePart{part};
    if (!state.part.empty() && kit.quiet("use_part", other_used)) did = Say{PartUsed{state.part, 1}};
    return did;
}

void tools_and_parts(const Cause& cause, kit::Kit& kit) {
    list_line(kit, take, cause.fix.tools);
    list_line(kit, parts, cause.fix.parts);
}

/// Nothing is done yet: what can hurt, and what to have at hand.
std::optional<Intent> read_first_page(const Pack& pack, const Cause& cause, kit::Kit& kit) {
    std::optional<Intent> did;
    kit.words(kit::Type::question, fix_of + cause.name);
    kit.words(kit::Type::heading, read_first);
    caution_cards(pack, kit, cause.fix.cautions);
    tools_and_parts(cause, kit);
    kit.bar();
    if (back_button(kit)) did = Back{};
    // What was never in view was not read.
    if (!kit.seen_to_end()) {
        if (kit.bar_button("more_below", more_below, kit::Slot::right, true, true)) kit.scroll_on();
    } else if (kit.bar_button("have_read", have_read, kit::Slot::right, true, true)) {
        did = ReadCautions{};
    }
    return did;
}

std::optional<Intent> steps_page(const State& state, const Pack& pack, const Cause& cause, const Attempt* attempt,
                                 kit::Kit& kit) {
    std::optional<Intent> did;
    say_taken_back(state, pack, kit);
    kit.words(kit::Type::question, fix_of + cause.name);
    if (caution_titles(pack, kit, cause.fix.cautions, state.how_open)) did = Unfold{Unfold::how};
    const StepsSoFar steps = steps_so_far(cause, attempt ? *attempt : Attempt{});
    const bool complete = steps.open.empty();
    const int count = static_cast<int>(cause.fix.steps.size());
    for (int i = 0; i < count; ++i) {
        std::optional<bool> ticked;
        if (attempt && attempt->steps.contains(i)) ticked = attempt->steps.at(i);
        const bool current = !complete && i == steps.open.front();
        if (const auto one = step_rows(state, pack, cause, i, current, !complete, ticked, kit)) did = one;
    }
    kit.words(kit::Type::body, complete ? list_complete : steps_left_words(steps) + tick_or_skip);
    tools_and_parts(cause, kit);
    if (const auto used = part_rows(state, cause, kit)) did = used;
    if (const auto out = ways_out(state, kit)) did = out;
    kit.bar();
    if (back_button(kit)) did = Back{};
    if (kit.bar_button("all_done", all_done, kit::Slot::right, complete, true)) did = Say{FixFinished{cause.id}};
    return did;
}

} // namespace

std::optional<Intent> fix_view(const State& state, const Pack& pack, kit::Kit& kit) {
    const Cause& cause = pack.causes[state.scene.cause.value()];
    const Attempt* const attempt = state.scene.visit.current_attempt();
    const bool begun = attempt && !attempt->steps.empty();
    const bool read = begun || state.cautions_read == cause.id || cause.fix.cautions.empty();
    begin_visit_screen(state, kit, read ? "fix" : "read_first");
    kit.side();
    if (kit.metrics().wide) draw_part(state, kit, cause.part, 0.0f);
    kit.main();
    const std::optional<Intent> did =
        read ? steps_page(state, pack, cause, attempt, kit) : read_first_page(pack, cause, kit);
    kit.end_screen();
    return did;
}

} // namespace beckhand
