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

    /// Nothing when the person leaves or the input ends.
    std::optional<std::string> read() {
        out << "> " << std::flush;
        std::string line;
        if (!std::getline(in, line) || small_letters(line) == "q") return std::nullopt;
        return trimmed(line);
    }

    void cautions_of(const Measurement& how) {
        for (const std::string& id : how.cautions) {
            if (const Caution* const caution = find_caution(app.pack(), id)) out << "  Mind: " << caution->title << ".\n";
        }
    }

    /// Asks until the figure can be, or is left out. False when the person left.
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
            if (!app.state().entry) {
                app.act(KeepRound{});
                return true;
            }
            out << app.state().entry->trouble << "\n";
            app.act(Back{});
        }
    }

    /// The numbers of what was done, spaces or commas between. False when the person left.
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
                if (!numbers.empty()) app.act(KeepRound{});
                return true;
            }
            out << wrong->sentence() << "\n";
        }
    }

    /// Every question in its turn. False when the person left, or an answer could not be saved.
    bool all() {
        for (const char* const id : round_figures) {
            const Measurement* const how = find_measurement(app.pack(), id);
            if (how != nullptr && (!figure(*how) || app.state().trouble)) return false;
        }
        return work(services_by_due(app.state(), app.pack())) && !app.state().trouble;
    }
};

std::string kept_words(const App& app) {
    std::string words;
    const auto add = [&words](const std::string& one) { words += (words.empty() ? "" : ", ") + one; };
    for (const auto& [id, taken] : app.state().round.figures) {
        const Measurement* const how = find_measurement(app.pack(), id);
        if (how != nullptr) add(how->name + " " + format_measured(*how, taken.value_si, app.state().units));
    }
    for (const std::string& id : app.state().round.services) {
        const Service* const service = find_service(app.pack(), id);
        if (service != nullptr) add(service->name);
    }
    return words;
}

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
        << due_text(app.pack(), site, app.state().trends.at(site_id), app.state().now, app.state().minutes_ahead) << "\n"
        << "Each answer is kept as soon as it is given. q: leave.\n";
    app.act(BeginRound{});
    const bool whole = Talk{app, in, out}.all();
    if (app.state().trouble) return failed();
    const std::string kept = kept_words(app);
    if (!kept.empty()) app.act(SaveRound{});
    if (app.state().trouble) return failed();
    const std::string go_on = "Go on with: beckhand round \"" + site.name + "\"\n";
    out << (whole ? "" : "\n") << (kept.empty() ? "Nothing was set down.\n" : "Set down: " + kept + ".\n") << (whole ? "" : go_on);
    return 0;
}

} // namespace beckhand
