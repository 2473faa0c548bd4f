#include "app/terminal/round.h"

#include <istream>
#include <optional>
#include <ostream>
#include <sstream>

#include "app/entry.h"
#include "app/site/round.h"
#include "app/terminal/trend_text.h"
#include "app/terminal/visit_said.h"

namespace beckhand {
namespace {

struct Talk {
    App& app;
    std::istream& in;
    std::ostream& out;

    std::optional<std::string> read() {
        out << "> " << std::flush;
        std::string line;
        if (!std::getline(in, line)) return std::nullopt;
        return trimmed(line);
    }

    void cautions_of(const Measurement& how) {
        for (const std::string& id : how.cautions) {
            if (const Caution* const caution = find_caution(app.pack(), id)) out << "  Mind: " << caution->title << ".\n";
        }
    }

    /// Asks until the figure can be, or is left out. False when the input ended.
    bool figure(const Measurement& how) {
        const Units units = app.state().units;
        out << how.ask << " [" << unit_word(figure_of(how), units) << "; empty: not taken]\n";
        cautions_of(how);
        while (true) {
            const auto line = read();
            if (!line) return false;
            if (line->empty()) return true;
            app.act(TakeFigure{how.id});
            app.act(Press{kit::KeypadPress::clear});
            for (const char c : *line) app.act(Press{kit::KeypadPress::digit, c});
            app.act(Press{kit::KeypadPress::accept});
            if (!app.state().entry) return true;
            out << app.state().entry->trouble << "\n";
            app.act(Back{});
        }
    }

    /// The numbers of what was done, spaces or commas between. False when the input ended.
    bool work(const std::vector<const Service*>& services) {
        if (services.empty()) return true;
        out << "Which routine work was done?\n";
        for (std::size_t i = 0; i < services.size(); ++i) out << "  " << i + 1 << "  " << services[i]->name << "\n";
        out << "Its numbers, spaces between [empty: none]\n";
        while (true) {
            auto line = read();
            if (!line) return false;
            for (char& c : *line) c = c == ',' ? ' ' : c;
            std::istringstream words(*line);
            std::set<int> numbers;
            std::optional<Problem> wrong;
            for (std::string word; words >> word;) {
                const Result<int> number = chosen_number(word, static_cast<int>(services.size()));
                if (number) numbers.insert(*number);
                else wrong = number.error();
            }
            if (!wrong) {
                for (const int number : numbers) app.act(TickService{services[static_cast<std::size_t>(number - 1)]->id});
                return true;
            }
            out << wrong->sentence() << "\n";
        }
    }

    bool agreed() {
        const Round& round = app.state().round;
        out << "Set down " << round.figures.size() << " figures and " << round.services.size() << " works? yes, or anything else to leave it\n";
        const auto line = read();
        const std::string word = small_letters(line.value_or(""));
        return word == "yes" || word == "y";
    }
};

} // namespace

int run_round(App& app, const std::string& site_id, std::istream& in, std::ostream& out) {
    app.act(ShowTrend{site_id});
    while (app.work()) continue;
    const auto failed = [&] {
        out << "Not saved. " << app.state().trouble->sentence() << "\n";
        return 1;
    };
    if (app.state().trouble) return failed();
    const Site site = find_site(app.state(), site_id)->site;
    out << "Round: " << site.name << "\n\n"
        << due_text(app.pack(), site, app.state().trends.at(site_id), app.state().now, app.state().minutes_ahead) << "\n";
    app.act(BeginRound{});
    Talk talk{app, in, out};
    for (const char* const id : round_figures) {
        const Measurement* const how = find_measurement(app.pack(), id);
        if (how != nullptr && !talk.figure(*how)) return 0;
    }
    if (!talk.work(services_by_due(app.state(), app.pack()))) return 0;
    const Round& round = app.state().round;
    if (round.figures.empty() && round.services.empty()) {
        out << "Nothing was set down.\n";
        return 0;
    }
    if (!talk.agreed()) {
        out << "Nothing was set down.\n";
        return 0;
    }
    app.act(SaveRound{});
    if (app.state().trouble) return failed();
    out << "Set down.\n";
    return 0;
}

} // namespace beckhand
