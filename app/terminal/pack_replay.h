// What a change of the pack does to visits: the same answers, given to the questions of one pack and of the other, and
// whether both come to the same cause.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "app/terminal/case_file.h"
#include "app/terminal/script.h"
#include "engine/diagnosis/belief.h"

namespace beckhand {

/// A visit as a case file would tell it: what stands at its end, and nothing of what was done about it.
[[nodiscard]] CaseFile case_of(const Visit& visit);

/// One pack, made ready to end many cases.
struct PackAtWork {
    explicit PackAtWork(const Pack& one) : pack(one), model(one), evidence(one) {}
    const Pack& pack;
    Model model;
    EvidenceBySite evidence;
};

/// How one case ends under one pack: the id of the cause it comes to; "nothing" where none fits.
[[nodiscard]] std::string finding_of(const CaseFile& file, PackAtWork& under);

struct Ending {
    std::string name;            // of the case file, or of the visit
    std::string before, after;   // cause ids
    [[nodiscard]] bool changed() const { return before != after; }
};

/// "2 of 12 end differently." and a line for each that does.
[[nodiscard]] std::string endings_text(std::span<const Ending> endings);

} // namespace beckhand
