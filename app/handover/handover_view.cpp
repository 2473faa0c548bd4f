#include "app/handover/handover_views.h"

#include "app/handover/brief_text.h"
#include "app/handover/read_back.h"
#include "app/kit/installation.h"

namespace beckhand {
namespace {

using Page = HandoverOnScreen::Page;

constexpr const char* do_next = "Do next";
constexpr const char* why = "Why: ";
constexpr const char* would_mean = "What each result would mean";
constexpr const char* right_heading = "Put right looks like this";
constexpr const char* holds_now = " (holds now)";
constexpr const char* save_paper = "Save it as a paper to print (PDF)";
constexpr const char* saved_heading = "The paper is saved";
constexpr const char* hand_over = "Hand it over";
constexpr const char* go_on_read_back = "Go on: read-back";
constexpr const char* state_heading = "How far it is";
constexpr const char* who_ask = "Who takes it over?";
constexpr const char* who_words = "Name, initials or role";
constexpr const char* who_then =
    "Let them read the brief first. Then give them this screen: they answer three questions about it. It counts as "
    "handed over when all three were answered right.";
constexpr const char* ask_them = "Ask them";
constexpr const char* not_right = "Not right. The brief says";
constexpr const char* asked_later = "It is asked again later.";
constexpr const char* have_read = "I have read it";
constexpr const char* handed_over = "Handed over";
constexpr const char* not_yet = "Not handed over yet";
constexpr const char* all_right = "All three questions were answered right.";
constexpr const char* questions_left = "The three questions are not all answered right yet.";
constexpr const char* receipt = "The receipt is back";
constexpr const char* no_receipt_yet = "Without a receipt nothing is lost. It only says that it arrived.";

std::string caution_title(const BriefCaution& caution) { return caution.title + (caution.holds_now ? holds_now : ""); }

/// Stop rules in full; the others under their titles, pressed to read them. True when that was pressed.
bool cautions(const State& state, const Brief& brief, kit::Kit& kit) {
    std::string titles;
    for (const BriefCaution& caution : brief.cautions) {
        if (caution.stop) kit.caution(caution_title(caution), caution.say, caution.defer_to, true);
        else titles += (titles.empty() ? "" : "; ") + caution_title(caution);
    }
    if (titles.empty()) return false;
    return kit.caution_titles("cautions", titles + ".", false, state.how_open, [&] {
        for (const BriefCaution& caution : brief.cautions) {
            if (!caution.stop) kit.caution(caution_title(caution), caution.say, caution.defer_to, false);
        }
    });
}

void next_check_cards(const Brief& brief, kit::Kit& kit) {
    const NextCheck& next = brief.next;
    kit.words(kit::Type::heading, do_next);
    kit.words(kit::Type::question, next.what);
    if (const std::string mind = mind_words(brief); !mind.empty()) kit.words(kit::Type::small, mind, kit::Tone::watch);
    if (!next.how.empty()) kit.words(kit::Type::body, next.how);
    if (!next.why.empty()) kit.words(kit::Type::body, why + next.why);
    if (const std::string tools = tools_words(next); !tools.empty()) kit.words(kit::Type::body, tools);
    kit.words(kit::Type::heading, would_mean);
    for (const BriefMeaning& meaning : next.results) {
        kit.card(meaning.stop ? kit::Tone::stop : kit::Tone::plain, meaning.result, meaning.means);
    }
    if (!next.right.empty()) kit.card(kit::Tone::good, right_heading, next.right);
}

void section_lines(const BriefSection& section, kit::Kit& kit) {
    kit.words(kit::Type::heading, section.heading);
    for (const BriefLine& line : section.lines) {
        if (line.ground == Ground::rule) {
            kit.words(kit::Type::body, line.text);
            continue;
        }
        kit.note_and_words(word_of(line.ground), line.text + (line.from.empty() ? "" : "\n(" + line.from + ")"));
    }
}

void state_lines(const State& state, kit::Kit& kit) {
    if (!state.handover.handover) return;
    kit.words(kit::Type::heading, state_heading);
    for (const HandoverState& one : handover_states(*state.handover.handover, state.minutes_ahead)) {
        kit.badge(one.words, one.done ? kit::Tone::good : kit::Tone::unknown);
    }
}

const Site& site_of(const State& state) {
    static const Site none;
    const SiteRow* const row = find_site(state, state.site_id);
    return row != nullptr ? row->site : none;
}

/// How the brief travels: as a paper here; a bundle for another device belongs beside it.
std::optional<Intent> ways_to_travel(const State& state, kit::Kit& kit) {
    std::optional<Intent> did;
    if (kit.quiet("save_paper", save_paper)) did = SavePaper{};
    if (!state.handover.saved.empty()) kit.card(kit::Tone::good, saved_heading, state.handover.saved);
    return did;
}

std::optional<Intent> brief_page(const State& state, kit::Kit& kit) {
    std::optional<Intent> did;
    const Brief& brief = state.handover.brief;
    kit.begin_screen("brief", brief.site, "Brief, " + brief.made_on);
    if (kit.metrics().wide) {
        kit.side();
        kit::draw_installation(kit, site_of(state), "", state.units, kit.metrics().mm(45.0f));
        if (const BriefSection* const way = brief.section("way")) section_lines(*way, kit);
        state_lines(state, kit);
    }
    kit.main();
    // Short, and wanted before anything goes wrong; the way stands under the drawing where there is room.
    const auto comes_first = [&](const BriefSection& section) {
        return section.id == "call" || section.id == "way";
    };
    for (const BriefSection& section : brief.sections) {
        const bool beside = kit.metrics().wide && section.id == "way";
        if (comes_first(section) && !beside) section_lines(section, kit);
    }
    if (cautions(state, brief, kit)) did = Unfold{Unfold::how};
    next_check_cards(brief, kit);
    for (const BriefSection& section : brief.sections) {
        if (!comes_first(section)) section_lines(section, kit);
    }
    kit.line();
    if (!kit.metrics().wide) state_lines(state, kit);
    if (const auto travel = ways_to_travel(state, kit)) did = travel;
    kit.bar();
    if (kit.bar_button("back", "Back", kit::Slot::left)) did = Back{};
    const bool half_way = state.handover.handover && !state.handover.handover->read_back();
    if (state.handover.handover && kit.bar_button("state", "State", kit::Slot::middle)) did = ShowHandoverPage{Page::done};
    if (kit.bar_button("hand_over", half_way ? go_on_read_back : hand_over, kit::Slot::right, true, true)) {
        did = ShowHandoverPage{half_way ? Page::read_back : Page::who};
    }
    kit.end_screen();
    return did;
}

std::optional<Intent> who_page(const State& state, kit::Kit& kit) {
    std::optional<Intent> did;
    kit.begin_screen("hand_to", state.handover.brief.site);
    kit.main();
    kit.words(kit::Type::question, who_ask);
    std::string to = state.handover.to;
    if (kit.text_field("to", who_words, to)) did = NameReceiver{to};
    for (const std::string& name : state.handover.names) {
        if (kit.answer("to_" + name, name, name == state.handover.to)) did = NameReceiver{name};
    }
    kit.words(kit::Type::body, who_then);
    kit.bar();
    if (kit.bar_button("back", "Back", kit::Slot::left)) did = Back{};
    if (kit.bar_button("hand_on", ask_them, kit::Slot::right, !state.handover.to.empty(), true)) did = HandOn{};
    kit.end_screen();
    return did;
}

/// The line that a wrong answer missed, before anything else is asked.
std::optional<Intent> missed_line(const State& state, const Pack& pack, kit::Kit& kit) {
    std::optional<Intent> did;
    const ReadBackQuestion missed = read_back_question(pack, state.handover.brief, state.handover.wrong, 0);
    kit.begin_screen("read_back_missed", state.handover.brief.site, state.handover.to);
    kit.main();
    kit.words(kit::Type::question, missed.ask);
    kit.card(kit::Tone::watch, not_right, missed.line);
    kit.words(kit::Type::body, asked_later);
    kit.bar();
    if (kit.bar_button("back", "Brief", kit::Slot::left)) did = Back{};
    if (kit.bar_button("have_read", have_read, kit::Slot::right, true, true)) did = ReadLine{};
    kit.end_screen();
    return did;
}

std::optional<Intent> read_back_page(const State& state, const Pack& pack, kit::Kit& kit) {
    std::optional<Intent> did;
    const Handover& handover = *state.handover.handover;
    const ReadBackQuestion question =
        read_back_question(pack, state.handover.brief, handover.next_topic(), handover.said_back.size());
    std::size_t place = 1;
    for (std::size_t i = 0; i < say_back_topics.size(); ++i) {
        if (say_back_topics[i] == question.topic) place = i + 1;
    }
    kit.begin_screen("read_back", state.handover.brief.site,
                     handover.to + ", " + std::to_string(place) + " of " + std::to_string(say_back_topics.size()));
    kit.main();
    kit.words(kit::Type::question, question.ask);
    for (std::size_t i = 0; i < question.answers.size(); ++i) {
        if (kit.answer("say_" + std::to_string(i), question.answers[i])) did = SayBack{i};
    }
    kit.bar();
    if (kit.bar_button("back", "Brief", kit::Slot::left)) did = Back{};
    kit.end_screen();
    return did;
}

std::optional<Intent> done_page(const State& state, kit::Kit& kit) {
    std::optional<Intent> did;
    const Handover& handover = *state.handover.handover;
    kit.begin_screen("handed_over", state.handover.brief.site);
    kit.main();
    if (handover.read_back()) kit.card(kit::Tone::good, handed_over, all_right);
    else kit.card(kit::Tone::watch, not_yet, questions_left);
    state_lines(state, kit);
    if (!handover.received()) {
        kit.words(kit::Type::body, no_receipt_yet);
        if (kit.hold("receipt", receipt)) did = ReceiptBack{};
    }
    if (const auto travel = ways_to_travel(state, kit)) did = travel;
    kit.bar();
    if (kit.bar_button("back", state.handover.goes_on ? "Back" : "Site", kit::Slot::left)) did = Back{};
    if (kit.bar_button("brief", "Brief", kit::Slot::middle)) did = ShowHandoverPage{Page::brief};
    if (state.handover.goes_on) {
        if (kit.bar_button("visit", "Go on with visit", kit::Slot::right, true, true)) did = ResumeVisit{state.handover.visit_id};
    } else if (kit.bar_button("sites", "Sites", kit::Slot::right, true, true)) {
        did = Show{Screen::sites};
    }
    kit.end_screen();
    return did;
}

} // namespace

std::optional<Intent> handover_view(const State& state, const Pack& pack, kit::Kit& kit) {
    const HandoverOnScreen& now = state.handover;
    if (now.handover && !now.wrong.empty()) return missed_line(state, pack, kit);
    if (now.handover && now.page == Page::read_back && !now.handover->read_back()) return read_back_page(state, pack, kit);
    if (now.handover && (now.page == Page::done || now.page == Page::read_back)) return done_page(state, kit);
    return now.page == Page::who ? who_page(state, kit) : brief_page(state, kit);
}

} // namespace beckhand
