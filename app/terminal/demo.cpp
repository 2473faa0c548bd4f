// The demo: reading it, and playing its visits with a clock that the visits themselves move on.
#include "app/terminal/demo.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <ostream>

#include "app/app.h"
#include "app/terminal/case_toml.h"
#include "app/terminal/visit.h"
#include "engine/records/site_fields.h"

namespace beckhand {

using case_toml::at;
using case_toml::in_quotes;

namespace {

// --- reading ---

constexpr std::size_t id_digits = 32;
constexpr std::size_t site_digits = 16; // of a site's id, in the ids of its visits

bool is_id(const std::string& text) {
    return text.size() == id_digits && text.find_first_not_of("0123456789abcdef") == std::string::npos;
}

const SiteRow* find_site(const Demo& demo, const std::string& name) {
    const auto found = std::find_if(demo.sites.begin(), demo.sites.end(),
                                    [&](const SiteRow& row) { return row.site.name == name; });
    return found == demo.sites.end() ? nullptr : &*found;
}

/// In a demo every word is meant: what is not used is a mistake.
Outcome all_used(const std::vector<std::string>& notes, const std::string& where) {
    return notes.empty()
               ? Outcome(Done{})
               : Outcome(Problem{where, "Something here is not used: " + notes.front(), "Take it out."});
}

Result<SiteRow> read_demo_site(const toml::table& table, const std::string& name) {
    SiteRow row;
    std::vector<std::string> notes;
    const std::string where = at(name, table);
    if (Outcome done = case_toml::read_site_keys(table, name, false, row.site, notes, {"id"}); !done) {
        return done.error();
    }
    if (Outcome done = all_used(notes, where); !done)
        return done.error();
    row.id = table["id"].value_or(std::string());
    if (!is_id(row.id)) {
        return Problem{where, "This site has no \"id\" of 32 hex digits.",
                       "Write id = \"...\", small letters."};
    }
    if (row.site.name.empty())
        return Problem{where, "This site has no name.", "Write name = \"...\"."};
    return row;
}

Result<Instant> read_instant(const toml::table& table, const std::string& name) {
    const auto written = table["at"].value_exact<toml::date_time>();
    if (!written) {
        return Problem{at(name, table), "This visit has no date and time \"at\".",
                       "Write at = 2026-03-14T09:20:00Z."};
    }
    const std::chrono::year_month_day day{std::chrono::year(written->date.year),
                                          std::chrono::month(written->date.month),
                                          std::chrono::day(written->date.day)};
    const std::chrono::minutes offset{written->offset ? written->offset->minutes : 0};
    const auto moment = std::chrono::sys_days(day).time_since_epoch() +
                        std::chrono::hours(written->time.hour) + std::chrono::minutes(written->time.minute) +
                        std::chrono::seconds(written->time.second) - offset;
    return Instant{std::chrono::duration_cast<std::chrono::milliseconds>(moment).count()};
}

/// A value of this type, or `otherwise` where the key is not there.
template <class Value>
Result<Value> optional_key(const toml::table& table, const std::string& name, std::string_view key,
                           Value otherwise, const std::string& todo) {
    const toml::node* node = table.get(key);
    if (node == nullptr)
        return otherwise;
    const auto value = node->value_exact<Value>();
    if (!value)
        return Problem{at(name, *node), in_quotes(key) + " is of another kind.", todo};
    return *value;
}

Result<DemoVisit> read_demo_visit(const toml::table& table, const std::string& name, const Pack& pack,
                                  const Demo& demo) {
    static const std::vector<std::string> own = {"site", "at", "by", "note", "routine", "play"};
    const std::string where = at(name, table);
    DemoVisit visit;
    Result<Instant> opened = read_instant(table, name);
    if (!opened)
        return opened.error();
    visit.at = *opened;
    const auto text = [&](std::string_view key, std::string& into) {
        Result<std::string> read =
            optional_key(table, name, key, std::string(), "Put it in quotation marks.");
        if (read)
            into = *read;
        return read ? Outcome(Done{}) : Outcome(read.error());
    };
    const auto yes = [&](std::string_view key, bool& into) {
        Result<bool> read = optional_key(table, name, key, false, "Write true or false.");
        if (read)
            into = *read;
        return read ? Outcome(Done{}) : Outcome(read.error());
    };
    if (Outcome done = text("site", visit.site); !done)
        return done.error();
    if (Outcome done = text("by", visit.by); !done)
        return done.error();
    if (Outcome done = text("note", visit.note); !done)
        return done.error();
    if (Outcome done = yes("routine", visit.routine); !done)
        return done.error();
    if (Outcome done = yes("play", visit.play); !done)
        return done.error();
    const SiteRow* site = find_site(demo, visit.site);
    if (site == nullptr) {
        return Problem{where, in_quotes(visit.site) + " is not the name of a site of this demo.",
                       "Write site = \"...\" with a name from a [[site]]."};
    }
    if (visit.by.empty())
        return Problem{where, "Nobody made this visit.", "Write by = \"keeper\" or another role."};
    Result<CaseFile> file = case_toml::read_case_keys(table, name, pack, own);
    if (!file)
        return file.error();
    if (Outcome done = all_used(file->notes, where); !done)
        return done.error();
    if (visit.routine && visit.play) {
        return Problem{where, "A routine visit cannot be the one that is played.",
                       "Mark a visit to a fault."};
    }
    visit.file = std::move(*file);
    visit.file.site = site->site;
    return visit;
}

/// The tables of a [[list]]; nothing but tables may stand in it.
Result<std::vector<const toml::table*>> tables_of(const toml::table& whole, const std::string& name,
                                                  std::string_view key) {
    const toml::node* node = whole.get(key);
    const toml::array* list = node != nullptr ? node->as_array() : nullptr;
    std::vector<const toml::table*> tables;
    for (std::size_t i = 0; list != nullptr && i < list->size(); ++i) {
        if (const toml::table* table = list->get(i)->as_table())
            tables.push_back(table);
    }
    if (list == nullptr || tables.size() != list->size() || tables.empty()) {
        return Problem{node != nullptr ? at(name, *node) : name,
                       "There is no list of [[" + std::string(key) + "]].",
                       "Write at least one [[" + std::string(key) + "]]."};
    }
    return tables;
}

// --- playing ---

/// Minutes from the event before to this one.
double minutes_before(const Pack& pack, const Visit& visit, const Happening& what) {
    if (const auto* answered = std::get_if<Answered>(&what)) {
        const Observation* observation = find_observation(pack, answered->observation);
        return observation != nullptr && !answered->told ? observation->minutes : 1;
    }
    if (const auto* measured = std::get_if<Measured>(&what)) {
        const Measurement* how = find_measurement(pack, measured->measurement);
        const Attempt* attempt = visit.current_attempt();
        const Cause* cause = attempt != nullptr ? find_cause(pack, attempt->cause) : nullptr;
        const bool first_proof = cause != nullptr && attempt->finished && attempt->proof.empty();
        return (how != nullptr ? how->minutes : 1) + (first_proof ? cause->proof.wait_minutes : 0);
    }
    if (const auto* checked = std::get_if<Checked>(&what)) {
        const Cause* cause = find_cause(pack, checked->cause);
        return cause != nullptr ? cause->check.minutes : 1;
    }
    if (const auto* ticked = std::get_if<StepTicked>(&what)) {
        const Cause* cause = find_cause(pack, ticked->cause);
        const bool timed = cause != nullptr && !cause->fix.steps.empty();
        return timed ? cause->fix.minutes / static_cast<double>(cause->fix.steps.size()) : 1;
    }
    return 1;
}

void pass(Instant& clock, double minutes) {
    clock.ms += std::llround(minutes * 60'000);
}

/// 16 bytes for the id of a visit: the first half of its site's id, then its date.
std::array<std::uint8_t, 16> id_bytes(const std::string& site_id, Instant at) {
    std::array<std::uint8_t, 16> bytes{};
    for (std::size_t i = 0; i < bytes.size() / 2; ++i) {
        bytes[i] = static_cast<std::uint8_t>(std::stoul(site_id.substr(2 * i, 2), nullptr, 16));
        bytes[15 - i] = static_cast<std::uint8_t>(static_cast<std::uint64_t>(at.ms) >> (8 * i));
    }
    return bytes;
}

/// Says figures, note and closing; nobody looked for a fault.
void play_routine(App& app, const DemoVisit& visit, const std::function<void(const Happening&)>& before) {
    std::vector<Happening> events;
    for (const auto& measured : visit.file.measured)
        events.emplace_back(measured.second);
    if (!visit.note.empty())
        events.emplace_back(Noted{visit.note});
    events.emplace_back(Closed{Closing::left_as_is});
    for (const Happening& what : events) {
        if (app.state().trouble)
            return;
        before(what);
        app.act(Say{what});
    }
}

/// One visit from its opening to its closing. Events that are in the log already are not doubled, for they
/// are the same ones under the same numbers.
Outcome play_one(const Demo& demo, const DemoVisit& visit, const Pack& pack, Store& store,
                 std::ostream& out) {
    const SiteRow* site = find_site(demo, visit.site);
    Instant clock = visit.at;
    App app(pack, {&store, [&clock] { return clock; }, [&] { return id_bytes(site->id, visit.at); }});
    app.start();
    // Whoever is at work stays so: the role is put back afterwards.
    const std::string by = app.state().by;
    const auto before = [&](const Happening& what) {
        pass(clock, minutes_before(pack, app.state().scene.visit, what));
    };
    app.act(SetBy{visit.by});
    app.act(SetPerson{Person::keeper, false});
    app.act(StartVisit{site->id});
    if (visit.routine) {
        play_routine(app, visit, before);
    } else {
        if (!visit.note.empty()) {
            before(Noted{visit.note});
            app.act(Say{Noted{visit.note}});
        }
        if (!app.state().trouble)
            play_visit(app, visit.file, out, before);
    }
    app.act(SetBy{by});
    if (app.state().trouble)
        return *app.state().trouble;
    if (!app.state().scene.visit.closed) {
        return Problem{"demo, " + visit.site, "A visit could not be played to its end.",
                       "Look at its answers."};
    }
    return Done{};
}

/// True for a visit that the log holds to its end, or that another pack decided: an older program's demo is
/// as much a record as any other visit.
Result<bool> stays_as_it_is(const Demo& demo, const DemoVisit& visit, const Pack& pack, const Store& store) {
    const Result<std::vector<Event>> there =
        store.events(new_id(id_bytes(find_site(demo, visit.site)->id, visit.at)));
    if (!there)
        return there.error();
    const Visit held = fold(*there);
    return !there->empty() && (held.closed.has_value() || held.pack_hash != pack.hash);
}

Outcome save_sites(const Demo& demo, Store& store) {
    const Result<std::vector<SiteRow>> there = store.sites();
    if (!there)
        return there.error();
    Outcome outcome = Done{};
    for (const SiteRow& row : demo.sites) {
        // What somebody has changed since stays as they left it.
        const bool known =
            std::any_of(there->begin(), there->end(), [&](const SiteRow& r) { return r.id == row.id; });
        if (known || !outcome)
            continue;
        store.save_site(row, demo.visits.front().at, [&](const Outcome& saved) { outcome = saved; });
    }
    return outcome;
}

} // namespace

Result<Demo> read_demo(const std::string& text, const std::string& name, const Pack& pack) {
    Result<toml::table> whole = case_toml::parse(text, name);
    if (!whole)
        return whole.error();
    const auto sites = tables_of(*whole, name, "site");
    if (!sites)
        return sites.error();
    const auto visits = tables_of(*whole, name, "visit");
    if (!visits)
        return visits.error();
    Demo demo;
    for (const toml::table* table : *sites) {
        Result<SiteRow> row = read_demo_site(*table, name);
        if (!row)
            return row.error();
        for (const SiteRow& other : demo.sites) {
            if (other.site.name == row->site.name ||
                other.id.substr(0, site_digits) == row->id.substr(0, site_digits)) {
                return Problem{at(name, *table), "Two sites have the same name, or ids that begin alike.",
                               "Give each its own name, and ids that differ in the first 16 digits."};
            }
        }
        demo.sites.push_back(std::move(*row));
    }
    for (const toml::table* table : *visits) {
        Result<DemoVisit> visit = read_demo_visit(*table, name, pack, demo);
        if (!visit)
            return visit.error();
        for (const DemoVisit& other : demo.visits) {
            if (other.site == visit->site && other.at == visit->at) {
                return Problem{at(name, *table), "Two visits to one site begin at the same time.",
                               "Move one of them."};
            }
        }
        demo.visits.push_back(std::move(*visit));
    }
    if (std::count_if(demo.visits.begin(), demo.visits.end(), [](const DemoVisit& v) { return v.play; }) !=
        1) {
        return Problem{name, "Exactly one visit is to be shown live.", "Write play = true in one [[visit]]."};
    }
    std::stable_sort(demo.visits.begin(), demo.visits.end(),
                     [](const DemoVisit& a, const DemoVisit& b) { return a.at < b.at; });
    return demo;
}

Outcome fill_log(const Demo& demo, const Pack& pack, Store& store) {
    if (Outcome saved = save_sites(demo, store); !saved)
        return saved;
    std::ostream nowhere(nullptr);
    for (const DemoVisit& visit : demo.visits) {
        if (visit.play)
            continue;
        const Result<bool> settled = stays_as_it_is(demo, visit, pack, store);
        if (!settled)
            return settled.error();
        if (*settled)
            continue;
        if (Outcome played = play_one(demo, visit, pack, store, nowhere); !played)
            return played;
    }
    return Done{};
}

Outcome play_demo(const Demo& demo, const Pack& pack, Store& store, std::ostream& out) {
    const auto visit =
        std::find_if(demo.visits.begin(), demo.visits.end(), [](const DemoVisit& v) { return v.play; });
    if (visit == demo.visits.end())
        return Problem{"demo", "No visit is to be shown live.", ""};
    const Result<bool> settled = stays_as_it_is(demo, *visit, pack, store);
    if (!settled)
        return settled.error();
    if (!*settled)
        return play_one(demo, *visit, pack, store, out);
    // It stands in the log already: shown again beside it, without touching what was saved.
    Result<Store> beside = Store::open(":memory:");
    if (!beside)
        return beside.error();
    // With its year of visits: what they proved is recalled as it was the first time.
    if (Outcome filled = fill_log(demo, pack, *beside); !filled)
        return filled;
    return play_one(demo, *visit, pack, *beside, out);
}

} // namespace beckhand
