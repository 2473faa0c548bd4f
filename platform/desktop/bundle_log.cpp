#include "platform/desktop/bundle_log.h"

#include <algorithm>

#include <nlohmann/json.hpp>

#include "engine/bundle/site_parts.h"
#include "engine/bundle/slice_cbor.h"
#include "engine/records/event_json.h"
#include "engine/records/log_file.h"

namespace beckhand {

using bundle::About;
using bundle::Digest;
using bundle::Entry;
using bundle::LogSlice;

namespace {

using Json = nlohmann::json;

constexpr const char* beside_key = "handed over";
constexpr const char* journal_key = "taking in";

Outcome save_setting(Store& store, const std::string& key, const std::string& value) {
    Outcome saved = Done{};
    store.save_setting(key, value, [&](const Outcome& outcome) { saved = outcome; });
    return saved;
}

bundle::Bytes from_hex(const std::string& text) {
    const auto digit = [](char c) { return static_cast<unsigned>(c <= '9' ? c - '0' : c - 'a' + 10) & 15u; };
    bundle::Bytes bytes;
    for (std::size_t i = 0; i + 1 < text.size(); i += 2) {
        bytes.push_back(static_cast<std::uint8_t>(digit(text[i]) << 4 | digit(text[i + 1])));
    }
    return bytes;
}

std::optional<Digest> mark_at(const std::map<std::string, std::string>& marks, const std::string& place) {
    const auto found = marks.find(place);
    if (found == marks.end()) return std::nullopt;
    const bundle::Bytes bytes = from_hex(found->second);
    Digest digest{};
    if (bytes.size() == digest.size()) std::copy(bytes.begin(), bytes.end(), digest.begin());
    return digest;
}

/// The events of one visit as it is kept here, each after the one before it.
Result<std::vector<Entry>> chain_of(const Store& store, const Beside& beside, const std::string& visit_id) {
    const auto events = store.events(visit_id);
    if (!events) return events.error();
    const auto original = beside.branch_of.find(visit_id);
    std::vector<Entry> chain;
    for (const Event& event : *events) {
        const Result<std::string> json = kept_json(event.what);
        if (!json) return json.error();
        Entry entry;
        entry.id = original == beside.branch_of.end() ? visit_id : original->second;
        entry.place = static_cast<std::uint32_t>(event.number);
        entry.at = event.at;
        const std::string place = visit_id + "/" + std::to_string(event.number);
        entry.by_erased = mark_at(beside.by_erased, place);
        entry.json_erased = mark_at(beside.text_erased, place);
        if (!entry.by_erased) entry.by = event.by;
        if (!entry.json_erased) entry.json = *json;
        if (!chain.empty()) entry.after = {bundle::name_of(chain.back())};
        chain.push_back(std::move(entry));
    }
    return chain;
}

/// The visits kept here that are this visit or a branch of it, with the names of their events.
Result<std::map<std::string, std::vector<Digest>>> kept_chains(const Store& store, const Beside& beside) {
    const auto visits = store.visits();
    if (!visits) return visits.error();
    std::map<std::string, std::vector<Digest>> chains;
    for (const VisitRow& row : *visits) {
        const auto chain = chain_of(store, beside, row.id);
        if (!chain) return chain.error();
        for (const Entry& entry : *chain) {
            chains[row.id].push_back(bundle::name_of(entry));
        }
    }
    return chains;
}

Outcome put_sites(Store& store, Beside& beside, const LogSlice& all, Instant now) {
    const auto rows = store.sites();
    if (!rows) return rows.error();
    for (const bundle::SiteView& site : bundle::sites_of(all)) {
        for (const bundle::FieldValues& field : site.fields) {
            std::vector<std::string> others;
            for (const Entry* const value : field.live) {
                if (value != field.governs) others.push_back(value->json);
            }
            if (others.empty()) beside.other_values.erase(site.id + "/" + field.field);
            else beside.other_values[site.id + "/" + field.field] = others;
        }
        const auto known = std::find_if(rows->begin(), rows->end(), [&](const SiteRow& row) { return row.id == site.id; });
        if (known != rows->end() && to_json(known->site) == to_json(site.site)) continue;
        Outcome saved = Done{};
        store.save_site(SiteRow{site.id, site.site}, now, [&](const Outcome& outcome) { saved = outcome; });
        if (!saved) return saved;
    }
    return Done{};
}

/// The visit kept here that this branch goes on from: the longest whose events are the branch's first ones.
std::string home_of(const std::vector<Digest>& branch, const std::string& visit_id, const Beside& beside,
                    const std::map<std::string, std::vector<Digest>>& chains) {
    std::string home;
    for (const auto& [kept, names] : chains) {
        const auto original = beside.branch_of.find(kept);
        if ((original == beside.branch_of.end() ? kept : original->second) != visit_id) continue;
        const bool first = names.size() <= branch.size() && std::equal(names.begin(), names.end(), branch.begin());
        if (first && (home.empty() || names.size() > chains.at(home).size())) home = kept;
    }
    return home;
}

Outcome put_branch(Store& store, Beside& beside, const bundle::VisitView& visit, const std::vector<const Entry*>& branch,
                   std::map<std::string, std::vector<Digest>>& chains) {
    std::vector<Digest> names;
    for (const Entry* const entry : branch) {
        names.push_back(bundle::name_of(*entry));
    }
    std::string home = home_of(names, visit.id, beside, chains);
    if (home.empty() && chains.count(visit.id) == 0) home = visit.id;
    bool changed = false;
    if (home.empty()) {
        // Told apart by its first event that no visit here has: the same on every device, however it grows.
        std::size_t shared = 0;
        for (const auto& [kept, held] : chains) {
            std::size_t same = 0;
            while (same < held.size() && same < names.size() && held[same] == names[same]) ++same;
            shared = std::max(shared, same);
        }
        home = bundle::hex(bundle::ByteView(names[std::min(shared, names.size() - 1)]).first(16));
        beside.branch_of[home] = visit.id;
        changed = true;
    }
    const std::vector<Event> events = bundle::events_of(branch);
    if (events.size() != branch.size()) {
        return Problem{"bundle", "Some of it was made by a newer version of Beckhand.", "Open it with that version."};
    }
    for (std::size_t i = chains[home].size(); i < events.size(); ++i) {
        const std::string place = home + "/" + std::to_string(events[i].number);
        if (branch[i]->by_erased) beside.by_erased[place] = bundle::hex(*branch[i]->by_erased), changed = true;
        if (branch[i]->json_erased) beside.text_erased[place] = bundle::hex(*branch[i]->json_erased), changed = true;
        // What is beside is saved before the events it speaks of, so that a half done visit is still itself.
        if (const Outcome saved = changed ? save_beside(store, beside) : Outcome(Done{}); !saved) return saved;
        changed = false;
        Outcome saved = Done{};
        store.commit(home, events[i], "", [&](const Outcome& outcome) { saved = outcome; });
        if (!saved) return saved;
    }
    chains[home] = names;
    return Done{};
}

} // namespace

Result<Beside> read_beside(const Store& store) {
    const auto kept = store.setting(beside_key);
    if (!kept) return kept.error();
    Beside beside;
    const Json json = *kept ? Json::parse(**kept, nullptr, false) : Json::object();
    try {
        beside.other_values = json.value("other_values", beside.other_values);
        beside.branch_of = json.value("branch_of", beside.branch_of);
        beside.by_erased = json.value("by_erased", beside.by_erased);
        beside.text_erased = json.value("text_erased", beside.text_erased);
        beside.wishes = json.value("wishes", beside.wishes);
        beside.trusted = json.value("trusted", beside.trusted);
        for (const std::string& text : json.value("hand_overs", std::vector<std::string>{})) {
            if (auto read = bundle::hand_over_from_json(text)) beside.hand_overs.push_back(*read);
        }
    } catch (const Json::exception&) {
        return Problem{"log", "What was kept of earlier hand-overs cannot be read.", "Keep the log file and ask for help."};
    }
    return beside;
}

Outcome save_beside(Store& store, const Beside& beside) {
    std::vector<std::string> hand_overs;
    for (const bundle::HandOver& one : beside.hand_overs) {
        hand_overs.push_back(to_json(one));
    }
    const Json json{{"other_values", beside.other_values}, {"branch_of", beside.branch_of},
                    {"by_erased", beside.by_erased},       {"text_erased", beside.text_erased},
                    {"wishes", beside.wishes},             {"trusted", beside.trusted},
                    {"hand_overs", hand_overs}};
    return save_setting(store, beside_key, json.dump(-1, ' ', false, Json::error_handler_t::replace));
}

Result<LogSlice> slice_of(const Store& store, const Beside& beside) {
    LogSlice slice;
    const auto rows = store.sites();
    if (!rows) return rows.error();
    for (const SiteRow& row : *rows) {
        const auto entries = bundle::entries_of_site(row.id, row.site);
        if (!entries) return entries.error();
        for (const Entry& entry : *entries) {
            slice.add(entry);
        }
    }
    for (const auto& [place, values] : beside.other_values) {
        const std::size_t slash = place.rfind('/');
        for (const std::string& json : values) {
            Entry entry;
            entry.about = About::site;
            entry.id = place.substr(0, slash);
            entry.field = slash == std::string::npos ? "" : place.substr(slash + 1);
            entry.json = json;
            slice.add(entry);
        }
    }
    const auto visits = store.visits();
    if (!visits) return visits.error();
    for (const VisitRow& row : *visits) {
        const auto chain = chain_of(store, beside, row.id);
        if (!chain) return chain.error();
        for (const Entry& entry : *chain) {
            slice.add(entry);
        }
    }
    for (const auto& [mark, ms] : beside.wishes) {
        Entry wish;
        wish.about = About::person;
        wish.id = mark;
        wish.at.ms = ms;
        slice.add(wish);
    }
    return slice;
}

LogSlice part_of_site(const LogSlice& slice, const std::string& site_id) {
    std::map<std::string, bool> of_site;
    for (const bundle::VisitView& visit : bundle::visits_of(slice)) {
        of_site[visit.id] = visit.site_id == site_id;
    }
    LogSlice part;
    for (const auto& [name, entry] : slice.entries) {
        const bool wanted = entry.about == About::person || (entry.about == About::site && entry.id == site_id) ||
                            (entry.about == About::visit && of_site[entry.id]);
        if (wanted) part.entries.emplace(name, entry);
    }
    return part;
}

Outcome take_in(Store& store, const LogSlice& offered, Instant now) {
    for (const auto& [name, entry] : offered.entries) {
        const bool site_with_history = entry.about == About::site && (!entry.after.empty() || entry.json == "{}");
        if (site_with_history || !entry.device.empty() || !entry.by_salt.empty() || !entry.json_salt.empty()) {
            return Problem{"bundle", "This bundle was made by a newer version of Beckhand.", "Open it with that version."};
        }
    }
    const auto written = bundle::write_slice(offered);
    if (!written) return written.error();
    if (const Outcome saved = save_setting(store, journal_key, bundle::hex(*written)); !saved) return saved;
    return finish_taking_in(store, now);
}

Outcome finish_taking_in(Store& store, Instant now) {
    const auto journal = store.setting(journal_key);
    if (!journal) return journal.error();
    if (!*journal || (*journal)->empty()) return Done{};
    const auto offered = bundle::read_slice(from_hex(**journal));
    if (!offered) return offered.error();
    Result<Beside> beside = read_beside(store);
    if (!beside) return beside.error();
    const auto have = slice_of(store, *beside);
    if (!have) return have.error();
    const LogSlice all = bundle::merge(*have, *offered);
    for (const auto& [name, entry] : all.entries) {
        if (entry.about == About::person) beside->wishes.emplace(entry.id, entry.at.ms);
    }
    if (const Outcome put = put_sites(store, *beside, all, now); !put) return put;
    auto chains = kept_chains(store, *beside);
    if (!chains) return chains.error();
    for (const bundle::VisitView& visit : bundle::visits_of(all)) {
        for (const auto& branch : visit.branches) {
            if (const Outcome put = put_branch(store, *beside, visit, branch, *chains); !put) return put;
        }
    }
    if (const Outcome saved = save_beside(store, *beside); !saved) return saved;
    if (const Outcome marked = mark_erased(store, *beside, all); !marked) return marked;
    return save_setting(store, journal_key, "");
}

Outcome mark_erased(Store& store, Beside& beside, const LogSlice& erased) {
    const auto visits = store.visits();
    if (!visits) return visits.error();
    for (const auto& [name, entry] : erased.entries) {
        if (entry.about == About::person) beside.wishes.emplace(entry.id, entry.at.ms);
    }
    for (const VisitRow& row : *visits) {
        const auto chain = chain_of(store, beside, row.id);
        if (!chain) return chain.error();
        for (const Entry& entry : *chain) {
            const auto found = erased.entries.find(bundle::name_of(entry));
            if (found == erased.entries.end()) continue;
            const std::string place = row.id + "/" + std::to_string(entry.place);
            if (found->second.by_erased) beside.by_erased[place] = bundle::hex(*found->second.by_erased);
            if (found->second.json_erased) beside.text_erased[place] = bundle::hex(*found->second.json_erased);
        }
    }
    return save_beside(store, beside);
}

// The one place that knows the tables of the log: its triggers hold events as they are, and erasing is the
// one thing for which they are lifted.
Outcome blank_erased(const std::string& path, const Beside& beside) {
    const auto connection = log_file::connect(path);
    if (!connection) return connection.error();
    sqlite3* const log = connection->get();
    std::vector<std::pair<std::string, std::string>> triggers;
    log_file::Query found(log, "SELECT name, sql FROM sqlite_schema WHERE type='trigger' AND tbl_name='event'");
    while (found.row()) {
        triggers.emplace_back(found.text(0), found.text(1));
    }
    int code = found.code();
    const auto run = [&](const std::string& sql) {
        if (code == SQLITE_OK) code = sqlite3_exec(log, sql.c_str(), nullptr, nullptr, nullptr);
    };
    const auto blank = [&](const std::map<std::string, std::string>& marks, const char* sql) {
        for (const auto& [place, mark] : marks) {
            const std::size_t slash = place.rfind('/');
            log_file::Query update(log, sql);
            update.bind(1, place.substr(0, slash)).bind(2, place.substr(slash + 1));
            if (code == SQLITE_OK) code = update.run();
        }
    };
    run("BEGIN IMMEDIATE");
    for (const auto& [name, sql] : triggers) {
        run("DROP TRIGGER " + name);
    }
    blank(beside.by_erased, "UPDATE event SET by_whom='' WHERE visit_id=?1 AND number=CAST(?2 AS INTEGER)");
    blank(beside.text_erased, "UPDATE event SET json='{\"kind\":\"noted\",\"text\":\"\"}' "
                              "WHERE visit_id=?1 AND number=CAST(?2 AS INTEGER)");
    for (const auto& [name, sql] : triggers) {
        run(sql);
    }
    run("COMMIT");
    if (code != SQLITE_OK && sqlite3_get_autocommit(log) == 0)
        sqlite3_exec(log, "ROLLBACK", nullptr, nullptr, nullptr);
    run("VACUUM");
    run("PRAGMA wal_checkpoint(TRUNCATE)");
    return code == SQLITE_OK ? Outcome(Done{}) : Outcome(log_file::problem_of(code, path));
}

} // namespace beckhand
