// What the repairs proved in this log say of a visit that is opened now, and how far they move each cause. The
// counting is the store's, the arithmetic the engine's (prior.h); here both become an event and plain lines.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "engine/diagnosis/pack.h"
#include "engine/records/store.h"

namespace beckhand {

/// How many repairs were proved, by cause.
[[nodiscard]] std::map<std::string, double> counted(const std::vector<ProvedRepair>& repairs);

/// What is recalled when this visit is opened: the site's last five proved repairs and, where `learning`, the counts of
/// the log. The visit's own are left out, so that opening it again over what is left of it recalls the same.
[[nodiscard]] Recalled recalled_for(const std::vector<ProvedRepair>& repairs, const std::string& visit_id,
                                    const std::string& site_id, Instant now, bool learning);
[[nodiscard]] inline bool anything(const Recalled& what) { return !what.past.empty() || !what.learned.empty(); }

/// A cause that the log's repairs have made likelier or less likely than the pack says.
struct Moved {
    std::size_t cause = 0;   // in the pack
    double count = 0;        // its proved repairs
    double times = 1;        // prior.h, learned_times
};
struct Learned {
    double proved = 0;             // repairs counted, those of causes that the pack does not know left out
    std::vector<Moved> moved;      // with repairs of their own, by more than a tenth; furthest first
    double others = 1;             // times, of every cause without one: the same for all
};
[[nodiscard]] Learned learned_from(const Pack& pack, const std::map<std::string, double>& counts);

/// "12 proved repairs counted.", and where they are too few to move anything, that too.
[[nodiscard]] std::string words_of(const Learned& learned);
/// "Strainer matted over: likelier, 1.8 times (5 of 12)"
[[nodiscard]] std::string words_of(const Pack& pack, const Learned& learned, const Moved& moved);
/// One line for each of the furthest moved, and the last for all causes without a repair; none where nothing is moved.
[[nodiscard]] std::vector<std::string> moved_lines(const Pack& pack, const Learned& learned, std::size_t most);

} // namespace beckhand
