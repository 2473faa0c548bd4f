// What taking in a slice would change, said before anything is changed. The preview merges a copy and
// compares; the same merge is then applied, so that what happens is what was shown.
#pragma once

#include <string>
#include <vector>

#include "engine/bundle/merge.h"

namespace beckhand::bundle {

struct Difference {
    std::string site_id, site_name, field;
    std::vector<std::string> values;     // JSON parts, in the order of their names
    std::string counted;                 // what the program counts with
};
struct ForkedVisit {
    std::string visit_id, site_name;
    std::vector<std::string> last_by;    // who went on, branch by branch; empty where erased
};

struct Preview {
    std::size_t new_entries = 0;
    std::vector<std::string> new_sites;          // names
    std::vector<std::string> changed_sites;      // names; a figure is new or another
    std::size_t new_visits = 0;
    std::size_t longer_visits = 0;               // known here, and going on
    std::vector<Difference> differences;         // fields with more than one value afterwards
    std::vector<ForkedVisit> forks;              // visits with more than one branch afterwards
    std::size_t newly_erased = 0;                // entries here that a wish in the bundle erases
    std::vector<std::string> doubled;            // devices that gave one number to two entries
    std::size_t from_the_future = 0;             // new entries dated more than 48 h after `now`
    bool newer_kinds = false;                    // holds events that only a newer program understands
    Digest digest{};                             // of the log afterwards
};

[[nodiscard]] Preview preview(const LogSlice& have, const LogSlice& offered, Instant now);

/// The preview in plain sentences, a line each.
[[nodiscard]] std::vector<std::string> sentences(const Preview& preview);

} // namespace beckhand::bundle
