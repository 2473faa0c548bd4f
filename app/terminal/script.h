// A case file as the person at the creek: gives the next event of a visit for what is on the screen. What
// the file lacks is "cannot tell". Plays cases for `beckhand case` and the demo visits.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "app/terminal/case_file.h"
#include "app/visit/scene.h"

namespace beckhand {

/// What this person says or does next; nothing once the visit is over.
[[nodiscard]] std::optional<Happening> next_event(const CaseFile& file, const Pack& pack, const Scene& scene);

/// The same, and closes the visit when there is nothing left to say.
[[nodiscard]] Happening next_or_closing(const CaseFile& file, const Pack& pack, const Scene& scene);

/// One step of a played case, as it went.
struct PlayedStep {
    std::string kind;      // "told", "ask", "measure", "stop", "check" (of a cause that it was not)
    std::string id, text, answer, why;
    double minutes = 0;
};

struct PlayedCase {
    std::vector<PlayedStep> steps;
    std::vector<std::string> notes;     // answers of the file that exclude each other
    Scene scene;                        // where asking ended
    std::optional<std::size_t> cause;   // the fix it proposes; nothing when no cause fits
    int asked = 0;                      // questions and figures
    int checks = 0;                     // causes that were checked before and were not it
    double minutes = 0;
};

/// What the virtual pump says of sites under one pack, worked out once for each: it takes a second or two.
class EvidenceBySite {
public:
    explicit EvidenceBySite(const Pack& pack) : pack_(pack) {}
    /// Null where the site's figures are too few for a pump.
    [[nodiscard]] const PumpEvidence* at(const Site& site);

private:
    const Pack& pack_;
    std::map<std::string, std::optional<PumpEvidence>> worked_out_;   // by the site's figures
};

/// Plays a case up to the repair that puts it right, past the checks of other causes; where the file names no cause,
/// up to the first cause worth checking. Figures are judged by the virtual pump where the site says enough for one.
[[nodiscard]] PlayedCase play_case(const CaseFile& file, const Pack& pack, const Model& model);
/// The same for many cases: sites that were met before are not worked out again.
[[nodiscard]] PlayedCase play_case(const CaseFile& file, const Pack& pack, const Model& model, EvidenceBySite& evidence);

/// Where the file names the cause: whether it was found, as a line; empty where nobody knows the cause.
[[nodiscard]] std::string compared_text(const PlayedCase& played, const CaseFile& file, const Pack& pack);
/// False when the file names another cause than the one that was found.
[[nodiscard]] bool as_expected(const PlayedCase& played, const CaseFile& file, const Pack& pack);

[[nodiscard]] std::string played_text(const PlayedCase& played, const Pack& pack);
[[nodiscard]] std::string played_json(const PlayedCase& played, const Pack& pack);

} // namespace beckhand
