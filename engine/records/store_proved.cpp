// Every repair that this log has proved: what recalling a site's past and learning what is common rest on.
// One pass over the verdicts; only visits that two people went on with are read branch by branch.
#include <algorithm>
#include <set>
#include <tuple>
#include <unordered_map>

#include "engine/records/event_json.h"
#include "engine/records/meaning.h"
#include "engine/records/store_inside.h"

namespace beckhand {

using log_file::entry_columns;
using log_file::entry_of;
using log_file::is_sound;
using log_file::Query;

namespace {

struct VisitOfSite {
    std::string site_id;
    bool forked = false;
};

using Visits = std::unordered_map<std::string, VisitOfSite>;

/// By their id. Every reading of the lists holds these rows against their sums, and so did the start.
int visits_in(sqlite3* connection, Visits& visits) {
    Query rows(connection, "SELECT subject, site_id, branches FROM visit");
    while (rows.row())
        visits[rows.text(0)] = {rows.text(1), rows.number(2) > 1};
    return rows.code();
}

/// The proved verdicts that nobody took back; an entry that damage has changed says nothing.
struct Verdicts {
    struct One { std::string visit; std::int64_t place = 0; std::string cause; Instant at; };
    std::vector<One> proved;
    std::set<std::pair<std::string, std::int64_t>> taken_back;

    void take(const LogEntry& entry) {
        const Result<Happening> what = is_sound(entry) ? happening_from_json(entry.json) : Result<Happening>(Problem{});
        if (!what)
            return;
        if (const auto* const judged = std::get_if<Judged>(&*what)) {
            if (judged->verdict == Verdict::proved)
                proved.push_back({entry.subject, entry.place, judged->cause, entry.at});
        } else if (const auto* const back = std::get_if<TookBack>(&*what)) {
            taken_back.insert({entry.subject, back->event});
        }
    }
};

/// Of two branches each has its own numbers: what was taken back on one may stand on the other.
std::vector<Verdicts::One> proved_on_any_branch(const std::string& visit, const std::vector<LogEntry>& entries) {
    std::vector<const LogEntry*> pointers;
    for (const LogEntry& entry : entries) {
        if (entry.subject == visit)
            pointers.push_back(&entry);
    }
    std::vector<Verdicts::One> proved;
    for (const auto& branch : visit_view(visit, pointers).branches) {
        Verdicts verdicts;
        for (const LogEntry* const entry : branch) {
            if (entry->kind == "judged" || entry->kind == "took_back")
                verdicts.take(*entry);
        }
        for (const Verdicts::One& one : verdicts.proved) {
            if (!verdicts.taken_back.count({one.visit, one.place}))
                proved.push_back(one);
        }
    }
    return proved;
}

} // namespace

Result<std::vector<ProvedRepair>> Store::proved_repairs() const {
    if (const Outcome o = inside_->ready(); !o)
        return o.error();
    sqlite3* const connection = inside_->connection.get();
    Visits visits;
    if (const int code = visits_in(connection, visits); code != SQLITE_OK)
        return inside_->fail(code);

    const std::string sql = std::string("SELECT ") + entry_columns + " FROM entry WHERE kind IN ('judged','took_back')";
    Verdicts verdicts;
    Query rows(connection, sql.c_str());
    while (rows.row())
        verdicts.take(entry_of(rows));
    if (rows.failed())
        return inside_->fail(rows.code());

    std::set<std::string> forked;
    std::vector<Verdicts::One> standing;
    for (const Verdicts::One& one : verdicts.proved) {
        const auto visit = visits.find(one.visit);
        if (visit != visits.end() && visit->second.forked)
            forked.insert(one.visit);
        else if (!verdicts.taken_back.count({one.visit, one.place}))
            standing.push_back(one);
    }
    for (const std::string& visit : forked) {
        const Result<std::vector<LogEntry>> all = entries(visit);
        if (!all)
            return all.error();
        for (Verdicts::One& one : proved_on_any_branch(visit, *all))
            standing.push_back(std::move(one));
    }

    // A cause counts once for a visit, from when it was first proved there. Without its opening nobody knows the site.
    std::vector<ProvedRepair> proved;
    for (Verdicts::One& one : standing) {
        if (const auto visit = visits.find(one.visit); visit != visits.end())
            proved.push_back({std::move(one.visit), visit->second.site_id, std::move(one.cause), one.at});
    }
    std::sort(proved.begin(), proved.end(), [](const ProvedRepair& a, const ProvedRepair& b) {
        return std::tie(a.visit_id, a.cause, a.at) < std::tie(b.visit_id, b.cause, b.at);
    });
    const auto same = [](const ProvedRepair& a, const ProvedRepair& b) {
        return a.visit_id == b.visit_id && a.cause == b.cause;
    };
    proved.erase(std::unique(proved.begin(), proved.end(), same), proved.end());
    std::stable_sort(proved.begin(), proved.end(),
                     [](const ProvedRepair& a, const ProvedRepair& b) { return a.at > b.at; });
    return proved;
}

} // namespace beckhand
