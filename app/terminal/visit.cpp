// The talk at the terminal. What a screen says stands in visit_text.cpp, what a line means in visit_said.cpp.
#include "app/terminal/visit.h"

#include <algorithm>
#include <istream>
#include <optional>
#include <ostream>

#include "app/log/record_text.h"
#include "app/settings.h"
#include "app/terminal/script.h"
#include "app/terminal/visit_said.h"
#include "app/terminal/visit_text.h"

namespace beckhand {
namespace {

std::string keys_help(Stage stage) {
    const bool may_fail = stage == Stage::ask || stage == Stage::measure || stage == Stage::check ||
                          stage == Stage::proof_measure || stage == Stage::proof_look;
    return std::string("  b back   ") + (may_fail ? "c cannot tell   " : "") +
           "h how, cautions in full   w why   s so far   note ...   part ...\n"
           "  as keeper, helper or newcomer: who answers from here on\n"
           "  end close it or hand it on   q leave (all is kept)   ? these keys\n";
}

/// Before the hands go to work, cautions are shown in full again, whatever was read on the way there.
bool work_begins(const Happening& what) {
    return std::holds_alternative<FixChosen>(what) || std::holds_alternative<Checked>(what);
}

struct Talk {
    App& app;
    std::istream& in;
    std::ostream& out;
    ToldCautions told = {};
    bool show = true;       // the screen is to be printed again
    std::string listed = {}; // the fix whose steps were printed, with the attempt it is
    bool left = false;      // the person left, or the input ended

    std::optional<std::string> read() {
        out << "> " << std::flush;
        std::string line;
        if (!std::getline(in, line)) {
            left = true;
            return std::nullopt;
        }
        return trimmed(line);
    }

    void say(const std::vector<Happening>& events) {
        for (const Happening& event : events) {
            if (work_begins(event)) told.clear();
            app.act(Say{event});
            if (app.state().trouble) return;
        }
        show = true;
    }

    /// What would be taken back next was told on arrival.
    [[nodiscard]] bool last_is_told() const {
        const std::optional<TookBack> back = take_back(app.state().scene.visit);
        const auto& events = app.state().events;
        return back && std::any_of(events.begin(), events.end(), [&](const Event& event) {
            const auto* const answered = std::get_if<Answered>(&event.what);
            return event.number == back->event && answered != nullptr && answered->told;
        });
    }

    void take_back_one() {
        if (app.state().looking_again) {
            app.act(Back{});
            show = true;
            return;
        }
        // At the very start `back` leaves the visit's screen, which a terminal does not have.
        if (!take_back(app.state().scene.visit)) {
            out << "There is nothing to take back.\n";
            return;
        }
        const bool asking = app.state().scene.visit.began;
        app.act(Back{});
        std::string undone = app.state().undone;
        // What was seen first was said in one line, so it goes with one word.
        if (asking && !app.state().scene.visit.began) {
            undone = "what you saw first.";
            while (!app.state().trouble && last_is_told()) app.act(Back{});
        }
        out << "Taken back: " << undone << "\n";
        show = true;
    }

    void close() {
        const std::vector<Closing> ways = closings_of(app.state().scene);
        out << "Close the visit as:\n" << closings_text(app.state().scene) << "  Anything else: go on with it.\n";
        const auto line = read();
        if (!line) return;
        const Result<int> number = chosen_number(*line, static_cast<int>(ways.size()));
        if (number) say({Closed{ways[static_cast<std::size_t>(*number - 1)]}});
        show = true;
    }

    bool really_done() {
        out << "Every step is left out - really done? yes, or anything else to go on with the steps.\n";
        const auto line = read();
        const std::string word = small_letters(line.value_or(""));
        return word == "yes" || word == "y";
    }

    void answer(const std::string& line) {
        if (const auto again = looks_again(app.state(), line)) {
            app.act(*again);
            show = true;
            return;
        }
        const auto events = said(app.state(), app.pack(), line);
        if (!events) {
            out << events.error().sentence() << "\n";
        } else if (!ends_untouched_fix(app.state(), line) || really_done()) {
            say(*events);
        }
    }

    void note(const std::string& text) {
        if (text.empty()) {
            out << "Write the note behind the word: note the gate is stiff.\n";
        } else {
            say({Noted{text}});
        }
    }

    void answers(const std::string& who) {
        const std::optional<Person> person = person_of(who);
        if (person) say({AnsweringAs{*person}});
        else out << "Say who answers: as keeper, as helper, or as newcomer.\n";
    }

    void part(const std::string& text) {
        const auto used = said_part(app.state(), app.pack(), text);
        if (!used) out << used.error().sentence() << "\n";
        else say({*used});
    }

    void print_screen() {
        const Scene& scene = app.state().scene;
        const std::string fix =
            scene.stage == Stage::fix ? scene.visit.current_attempt()->cause + " " + std::to_string(scene.visit.attempts.size()) : "";
        const bool again = !fix.empty() && fix == listed;
        listed = fix;
        if (again) {
            out << next_step_text(app.state(), app.pack(), told);
            return;
        }
        out << "\n" << scene_text(app.state(), app.pack(), told);
        if (scene.stage != Stage::ended) out << keys_help(scene.stage);
    }

    void hear(const std::string& line) {
        const std::string word = small_letters(line);
        if (word.empty()) return;
        if (word == "q") left = true;
        else if (word == "h") out << how_text(app.state(), app.pack());
        else if (word == "w") out << (app.state().scene.why.empty() ? "No question is asked now." : app.state().scene.why) << "\n";
        else if (word == "s") out << so_far_text(app.state(), app.pack());
        else if (word == "?" || word == "help") out << keys_help(app.state().scene.stage);
        else if (word == "b") take_back_one();
        else if (word == "end") close();
        else if (word == "steps" && !listed.empty()) listed.clear(), show = true;
        else if (word == "as" || word.starts_with("as ")) answers(trimmed(word.substr(2)));
        else if (word == "part" || word.starts_with("part ")) part(trimmed(line.substr(4)));
        else if (word == "note" || word.starts_with("note ")) note(trimmed(line.substr(4)));
        else answer(line);
    }
};

int not_saved(const App& app, std::ostream& out) {
    out << "Not saved. " << app.state().trouble->sentence() << "\n";
    return 1;
}

/// What the log has to say of itself, said once.
void say_notice(App& app, std::ostream& out) {
    if (!app.state().notice) return;
    out << "About the log: " << app.state().notice->sentence() << "\n";
    if (!app.state().trouble) app.act(ReadTrouble{});
}

} // namespace

int run_terminal(App& app, std::istream& in, std::ostream& out) {
    Talk talk{app, in, out};
    if (app.state().another_answers) {
        out << "Until now " << name_of(app.state().scene.visit.person) << " answered; to go on as "
            << id_of(app.state().person) << " say: as " << id_of(app.state().person) << "\n";
    }
    while (!app.state().trouble) {
        // The window works the virtual pump out between its frames; here it is waited for, once a proof needs it.
        while (app.state().scene.proof && app.work()) continue;
        say_notice(app, out);
        if (talk.show) talk.print_screen();
        if (app.state().scene.visit.closed) return 0;
        talk.show = false;
        if (const auto line = talk.read()) talk.hear(*line);
        if (talk.left) {
            out << "\nAll that was answered is kept; the visit goes on where it stopped.\n";
            return 0;
        }
    }
    return not_saved(app, out);
}

int play_visit(App& app, const CaseFile& file, std::ostream& out, const std::function<void(const Happening&)>& before) {
    constexpr int most_events = 300; // no visit is this long; a loop would be our own bug
    ToldCautions told;
    bool show = true;
    for (int i = 0; i < most_events && !app.state().scene.visit.closed; ++i) {
        // A fix is shown once, not again for each tick.
        if (show) out << "\n" << scene_text(app.state(), app.pack(), told);
        const Happening what = next_or_closing(file, app.pack(), app.state().scene);
        show = !std::holds_alternative<StepTicked>(what);
        out << "> " << words_of(app.pack(), what, app.state().units) << "\n";
        if (before) before(what);
        if (work_begins(what)) told.clear();
        app.act(Say{what});
        say_notice(app, out);
        if (app.state().trouble) return not_saved(app, out);
    }
    out << "\n" << scene_text(app.state(), app.pack(), told);
    return 0;
}

} // namespace beckhand
