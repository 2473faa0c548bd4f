#include "platform/desktop/visit_start.h"

#include <algorithm>
#include <istream>
#include <optional>
#include <ostream>
#include <utility>
#include <vector>

#include "app/figures.h"
#include "app/terminal/visit_said.h"
#include "engine/records/site_name.h"

namespace beckhand {
namespace {

std::optional<std::string> read_line(std::istream& in, std::ostream& out) {
    out << std::flush;
    std::string line;
    if (!std::getline(in, line)) return std::nullopt;
    return trimmed(line);
}

/// Saves a new site by its name alone: the pump is what is looked at first, its figures can wait.
std::optional<std::string> name_site(Session& session, const std::string& name, std::ostream& out) {
    if (const Outcome named = check_site_name(name); !named) {
        out << named.error().sentence() << "\n";
        return std::nullopt;
    }
    SiteRow row;
    row.id = new_id(random_bytes());
    row.site.name = name;
    Outcome saved = Done{};
    session.store().save_site(row, clock_now(), [&](const Outcome& outcome) { saved = outcome; });
    if (!saved) {
        out << saved.error().sentence() << "\n";
        return std::nullopt;
    }
    out << "A new site: " << name << ". Its figures can be given later: beckhand site figures \"" << name << "\"\n";
    session.app().act(ShowSite{row.id});
    return row.id;
}

/// A name has at least one letter, of whatever script; digits alone are a slip at the list of numbers.
bool may_be_name(const std::string& text) {
    return std::any_of(text.begin(), text.end(), [](char c) {
        return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || static_cast<unsigned char>(c) >= 0x80;
    });
}

std::optional<std::string> choose_site(Session& session, std::istream& in, std::ostream& out) {
    const std::vector<SiteRow> sites = session.app().state().sites;
    out << "Which site?\n";
    int number = 0;
    for (const SiteRow& row : sites) {
        out << "  " << ++number << "  " << row.site.name << "\n";
    }
    out << "  Or type the name of a new one.\n";
    while (true) {
        out << "> ";
        const auto line = read_line(in, out);
        if (!line || line->empty() || small_letters(*line) == "q") {
            out << (line ? "" : "\n") << "No site was chosen, so no visit was begun. Nothing was saved.\n";
            return std::nullopt;
        }
        if (const auto known = site_named(session.app().state(), *line)) return known;
        if (may_be_name(*line)) {
            if (auto made = name_site(session, *line, out)) return made;
            continue;
        }
        const Result<int> chosen = chosen_number(*line, number);
        if (chosen) return sites[static_cast<std::size_t>(*chosen - 1)].id;
        out << (number > 0 ? chosen.error().sentence() + " Or type" : "Type") << " a name with a letter in it.\n";
    }
}

std::vector<VisitRow> open_visits(const State& state, const std::string& site_id) {
    std::vector<VisitRow> open;
    for (const VisitRow& row : state.log) {
        if (!row.closed && (site_id.empty() || row.site_id == site_id)) open.push_back(row);
    }
    return open;
}

void go_on_with(App& app, const VisitRow& visit, std::ostream& out) {
    out << "Going on with the visit to " << visit.site_name << ".\n";
    app.act(ResumeVisit{visit.id});
}

bool begin_at(App& app, const std::string& site_id, std::ostream& out) {
    const auto open = open_visits(app.state(), site_id);
    if (open.empty()) app.act(StartVisit{site_id});
    else go_on_with(app, open.front(), out);
    return true;
}

/// Where several visits are open: which of them, or another site. Nothing when the person leaves.
std::optional<std::size_t> choose_open(const App& app, const std::vector<VisitRow>& open, std::istream& in,
                                       std::ostream& out) {
    out << "Several visits are open. Go on with which?\n";
    int number = 0;
    for (const VisitRow& row : open) {
        out << "  " << ++number << "  " << row.site_name << ", "
            << day_text(row.opened_at, app.state().minutes_ahead) << ": " << row.headline << "\n";
    }
    out << "  " << ++number << "  Another site\n";
    while (true) {
        out << "> ";
        const auto line = read_line(in, out);
        if (!line || line->empty() || small_letters(*line) == "q") {
            out << (line ? "" : "\n") << "None was chosen. They stay open.\n";
            return std::nullopt;
        }
        const Result<int> chosen = chosen_number(*line, number);
        if (chosen) return static_cast<std::size_t>(*chosen - 1);
        out << chosen.error().sentence() << "\n";
    }
}

} // namespace

std::optional<std::string> site_named(const State& state, const std::string& name) {
    for (const SiteRow& row : state.sites) {
        if (small_letters(row.site.name) == small_letters(trimmed(name))) return row.id;
    }
    return std::nullopt;
}

Result<SiteRow> site_called(const State& state, const std::string& name) {
    if (const auto id = site_named(state, name)) return *find_site(state, *id);
    std::string known;
    for (const SiteRow& row : state.sites) known += (known.empty() ? "" : ", ") + row.site.name;
    return Problem{name, "There is no site of this name in the log.",
                   known.empty() ? "The log is empty: begin with `beckhand visit`." : "There are: " + known + "."};
}

namespace {

bool stand_in_visit(Session& session, const std::string& site_name, std::istream& in, std::ostream& out) {
    App& app = session.app();
    const std::string name = trimmed(site_name);
    if (!name.empty()) {
        auto site = site_named(app.state(), name);
        if (!site) site = name_site(session, name, out);
        return site && begin_at(app, *site, out);
    }
    const auto open = open_visits(app.state(), "");
    if (open.size() == 1) {
        go_on_with(app, open.front(), out);
        out << "For another site: beckhand visit --site NAME.\n";
        return true;
    }
    if (!open.empty()) {
        const auto chosen = choose_open(app, open, in, out);
        if (!chosen) return false;
        if (*chosen < open.size()) {
            go_on_with(app, open[*chosen], out);
            return true;
        }
    }
    const auto site = choose_site(session, in, out);
    return site && begin_at(app, *site, out);
}

} // namespace

bool begin_visit(Session& session, const std::string& site_name, std::optional<Person> answers, std::istream& in,
                 std::ostream& out) {
    App& app = session.app();
    if (answers) app.act(SetPerson{*answers, false}); // for this visit; the choice that is kept stays
    if (!stand_in_visit(session, site_name, in, out)) return false;
    if (answers && app.state().another_answers) app.act(Say{AnsweringAs{*answers}});
    return true;
}

} // namespace beckhand
