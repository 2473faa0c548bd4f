// What entries say together, computed the same way for the lists, for a hand-over and for an export: every
// value of a field of a site that nobody has replaced, and every branch of a visit that two people went on
// with. No clock decides anything. The pointers live as long as the entries do.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "engine/problem.h"
#include "engine/records/chain.h"

namespace beckhand {

/// A place among entries of one subject: its name, what it follows, and how far on it is.
struct Link {
    Hash hash{};
    std::vector<Hash> after;
    std::int64_t place = 0;
};

/// What each entry follows, by index. One that names no predecessor that is here, because damage took it or
/// it never came, follows the last by place before it, so that a gap is not taken for a fork.
[[nodiscard]] std::vector<std::vector<std::size_t>> followed_by(const std::vector<Link>& links);

/// From a first event to a last one, as indexes; `own_from`: where it is in no other branch, never its end.
struct Branch {
    std::vector<std::size_t> events;
    std::size_t own_from = 0;
};
/// The branches of a visit in the order of the names of their ends: one, unless people went on from the
/// same event without knowing of each other.
[[nodiscard]] std::vector<Branch> branches_of(const std::vector<Link>& links);

/// One value of a field, a part of a site's JSON: {"fall_m":2.5}, or {} where nobody knows it any more.
struct FieldValue {
    const LogEntry* sheet = nullptr;     // that set it
    std::string json;
};
/// One field of a site with all values that hold. More than one: two people changed it without knowing of
/// each other. A later sheet that changes the field replaces those it had seen; one that only carries on
/// what is counted with leaves the others standing.
struct FieldValues {
    std::string field;                   // key in the JSON; "record" for the healthy record
    std::vector<FieldValue> live;        // never empty; in the order of the sheets' names
    std::string counted;                 // what the program counts with until a person decides: the lowest
                                         // pressure rating, an unknown one before any; all texts on the way
                                         // and its dangers; elsewhere the first, the same on every device
};
struct SiteView {
    std::string id;
    std::vector<FieldValues> fields;     // by key
    Site site;                           // with what is counted
    std::vector<std::string> dangers;    // every text on the way there and its dangers that holds
};
[[nodiscard]] SiteView site_view(const std::string& id, const std::vector<const LogEntry*>& sheets);

/// A site's JSON in parts, by key, each as it would be written alone.
[[nodiscard]] std::map<std::string, std::string> parts_of(const std::string& site_json);

struct VisitView {
    std::string id, site_id;
    std::vector<std::vector<const LogEntry*>> branches;  // each from its first event on
    std::vector<std::string> heeded;                     // cautions of stop rules met on any branch, sorted
    std::optional<Closing> standing;                     // the least hopeful of the closings; none while a
                                                         // branch is open, but a call for help stands
};
[[nodiscard]] VisitView visit_view(const std::string& id, const std::vector<const LogEntry*>& entries);

/// The event of an entry; what was erased in it is empty. Fails for what only a newer program knows.
[[nodiscard]] Result<Event> event_of(const LogEntry& entry);
/// The events of a branch as the fold takes them; an event of a newer program is left out.
[[nodiscard]] std::vector<Event> events_of(const std::vector<const LogEntry*>& branch);

} // namespace beckhand
