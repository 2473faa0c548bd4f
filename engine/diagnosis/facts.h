// What a visit has shown: answers of people, and figures cut into the answers of an observation.
#pragma once

#include <string>
#include <vector>

#include "engine/diagnosis/derived.h"
#include "engine/diagnosis/pack.h"
#include "engine/diagnosis/visit.h"

namespace beckhand {

/// One thing that was seen: chances over the answers of an observation. An answer given by a person is a
/// single 1; a figure is spread over its bands by its error.
struct Fact {
    std::size_t observation = 0;
    std::vector<double> answer;      // weight by answer index; sums to one; empty: cannot tell
    bool from_figures = false;
    std::string words;               // "Strainer: matted over", "Yield 0.42 of the table"
    Person by = Person::keeper;          // who answered; figures carry their own error
    bool measured = false;           // from figures that were taken at this visit
};

/// Everything a visit has shown, in the order it came, figures last; answers and figures of the same
/// observation are one fact (the figure wins). `units` are those of the words.
[[nodiscard]] std::vector<Fact> facts_of(const Pack&, const Visit&, Units units = Units::metric);

} // namespace beckhand
