// Between the log and a bundle: the log as entries, and entries put back into the log. The log keeps whole
// sites and one row of numbers a visit; what a bundle knows beyond that (the other value of a figure, whose
// branch a visit is, what was erased, who handed over what) is kept beside it, in one setting.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "engine/bundle/merge.h"
#include "engine/bundle/receipt.h"
#include "engine/records/store.h"

namespace beckhand {

struct Beside {
    std::map<std::string, std::vector<std::string>> other_values;    // "site id/field" -> parts of a site
    std::map<std::string, std::string> branch_of;                    // visit kept here -> visit it is a branch of
    std::map<std::string, std::string> by_erased, text_erased;       // "visit id/number" -> mark, hex
    std::map<std::string, std::int64_t> wishes;                      // person_mark -> when, ms
    std::map<std::string, std::string> trusted;                      // public key, hex -> name given here
    std::vector<bundle::HandOver> hand_overs;                        // oldest first
};

[[nodiscard]] Result<Beside> read_beside(const Store& store);
[[nodiscard]] Outcome save_beside(Store& store, const Beside& beside);

[[nodiscard]] Result<bundle::LogSlice> slice_of(const Store& store, const Beside& beside);
/// The site, its visits, and every wish to be erased.
[[nodiscard]] bundle::LogSlice part_of_site(const bundle::LogSlice& slice, const std::string& site_id);

/// Takes a slice in: what is to be done is written down first, in one piece, and then done; a program that
/// stops in between does it when it is next asked to (finish_taking_in). Doing it twice changes nothing.
[[nodiscard]] Outcome take_in(Store& store, const bundle::LogSlice& offered, Instant now);
[[nodiscard]] Outcome finish_taking_in(Store& store, Instant now);

/// Notes which events kept here `erased` no longer holds by name or words, and saves that.
[[nodiscard]] Outcome mark_erased(Store& store, Beside& beside, const bundle::LogSlice& erased);
/// Takes out of the closed log at `path` what is marked as erased, in one transaction, then writes the file
/// anew so that no old page of it keeps a name.
[[nodiscard]] Outcome blank_erased(const std::string& path, const Beside& beside);

} // namespace beckhand
