// Drawn visits in which figures come from the virtual pump: what measuring is worth, judged by the bands of the pack
// and judged by the virtual pump. The world is the virtual pump too, with what nobody has measured drawn anew; the
// errors that the judgement allows the model (engine/pump/MODEL.md) are not in that world.
#pragma once

#include <optional>

#include "engine/diagnosis/exam_play.h"
#include "engine/diagnosis/pump_evidence.h"

namespace beckhand {

/// A site of our own that a ram suits.
[[nodiscard]] Site exam_site();

/// One pump of that site with the only cause of this visit in it, read while it was healthy and as it is now; nothing
/// where no such pump can be. `sound`: design_for() of the site. `evidence` must outlive what is returned.
[[nodiscard]] std::optional<SiteWithFigures> draw_figures(const Pack&, const PumpEvidence&, const PumpDesign& sound,
                                                          const DrawnVisit&, Dice&);

/// Everything answered and every figure taken that the pump as it is allows, at a site with a healthy record.
struct FiguresJudged {
    Standing by_bands, by_pump;
};

/// Of one cause alone; nothing where no such pump can be.
[[nodiscard]] std::optional<FiguresJudged> judge_figures(const Pack&, const Model&, const PumpEvidence&, const PumpDesign& sound,
                                                         const DrawnVisit&, Person, Dice&);

} // namespace beckhand
