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

/// Everything answered and every figure taken that the pump as it is allows, at a site with a healthy record.
struct FiguresJudged {
    Standing by_bands, by_pump;
};

/// Of one cause alone; nothing where no such pump can be. `sound`: design_for() of the site.
[[nodiscard]] std::optional<FiguresJudged> judge_figures(const Pack&, const Model&, const PumpEvidence&, const PumpDesign& sound,
                                                         const DrawnVisit&, Person, Dice&);

} // namespace beckhand
