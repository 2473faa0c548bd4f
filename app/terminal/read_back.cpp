#include "app/terminal/read_back.h"

#include <istream>
#include <ostream>

#include "app/handover/read_back.h"
#include "app/terminal/visit_said.h"

namespace beckhand {
namespace {

int not_saved(const App& app, std::ostream& out) {
    out << "Not saved. " << app.state().trouble->sentence() << "\n";
    return 1;
}

void show_states(const App& app, std::ostream& out) {
    for (const HandoverState& state : handover_states(*app.state().handover.handover, app.state().minutes_ahead)) {
        out << (state.done ? "  [x] " : "  [ ] ") << state.words << "\n";
    }
}

/// One question; false when the input ended.
bool ask(App& app, std::istream& in, std::ostream& out) {
    const HandoverOnScreen& now = app.state().handover;
    const ReadBackQuestion question = read_back_question(app.pack(), now.brief, now.handover->next_topic(),
                                                         now.handover->said_back.size());
    out << "\n" << question.ask << "\n";
    for (std::size_t i = 0; i < question.answers.size(); ++i) out << "  " << i + 1 << "  " << question.answers[i] << "\n";
    while (true) {
        out << "> " << std::flush;
        std::string line;
        if (!std::getline(in, line)) return false;
        const Result<int> number = chosen_number(trimmed(line), static_cast<int>(question.answers.size()));
        if (!number) {
            out << number.error().sentence() << "\n";
            continue;
        }
        app.act(SayBack{static_cast<std::size_t>(*number - 1)});
        if (app.state().trouble) return true;
        if (app.state().handover.wrong.empty()) {
            out << "Right.\n";
        } else {
            out << "Not right. The brief says: " << question.line << "\nIt is asked again.\n";
            app.act(ReadLine{});
        }
        return true;
    }
}

} // namespace

int run_read_back(App& app, const std::string& site_id, const std::string& to, std::istream& in, std::ostream& out) {
    app.act(ShowBrief{site_id});
    if (app.state().trouble) return not_saved(app, out);
    const auto& begun = app.state().handover.handover;
    const bool goes_on = begun && !begun->read_back() && (to.empty() || to == begun->to);
    if (!goes_on) {
        if (to.empty()) {
            out << "It is not said who takes the site over. Give --to NAME.\n";
            return 2;
        }
        app.act(NameReceiver{to});
        app.act(HandOn{});
        if (app.state().trouble) return not_saved(app, out);
    }
    out << app.state().handover.brief.site << " goes on to " << app.state().handover.handover->to
        << ", who has read its brief and now answers " << say_back_topics.size() << " questions about it.\n";
    while (!app.state().handover.handover->read_back()) {
        if (!ask(app, in, out)) {
            out << "\nNot handed over yet: what was answered is kept, and it goes on where it stopped.\n";
            return 0;
        }
        if (app.state().trouble) return not_saved(app, out);
    }
    out << "\nHanded over.\n";
    show_states(app, out);
    return 0;
}

int note_received(App& app, const std::string& site_id, std::ostream& out) {
    app.act(ShowBrief{site_id});
    if (app.state().trouble) return not_saved(app, out);
    if (!app.state().handover.handover) {
        out << "This site was not handed on yet.\n";
        return 2;
    }
    app.act(ReceiptBack{});
    if (app.state().trouble) return not_saved(app, out);
    show_states(app, out);
    return 0;
}

} // namespace beckhand
