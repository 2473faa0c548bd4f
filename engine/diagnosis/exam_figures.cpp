#include "engine/diagnosis/exam_figures.h"

#include <algorithm>
#include <cmath>

#include "engine/pump/faults.h"

namespace beckhand {
namespace {

/// The figure as this person would read it, with the error that the pack gives for care taken.
double read_off(const Measurement& how, double value, Dice& dice) {
    const double read = value + error_of(how, value) * dice.normal();
    return std::clamp(read, std::max(how.least, 0.0), how.most);
}

void note_record(Site& site, const std::string& kind, double value) {
    if (kind == "B") site.record.beat = Frequency::from_si(value);
    if (kind == "W") site.record.waste = FlowRate::from_si(value);
    if (kind == "Q") site.record.delivered = FlowRate::from_si(value);
    if (kind == "Pr") site.record.running = Pressure::from_si(value);
}

bool takes(const Observation& observation, const std::vector<std::string>& kinds) {
    return observation.bands && std::any_of(observation.bands->needs.begin(), observation.bands->needs.end(),
                                            [&](const std::string& id) {
                                                return std::find(kinds.begin(), kinds.end(), id) != kinds.end();
                                            });
}

Standing judged(const Pack& pack, const Model& model, const Visit& visit, const PumpEvidence* evidence, const Hypothesis& truth) {
    Grounds grounds = grounds_of(pack, model, visit, evidence);
    for (Fact& fact : grounds.facts) {
        // The sheet of the sound site would tell against causes that are faults of the site itself.
        if (fact.from_figures && !fact.measured) fact.answer.clear();
    }
    return standing_of(pack, belief_of(model, grounds), truth);
}

} // namespace

Site exam_site() {
    Site site;
    site.name = "Harrowsyke";
    site.fall = metres(2.5);
    site.lift = metres(16);
    site.drive_length = metres(14);
    site.drive_bore = millimetres(50);
    site.drive_wall = millimetres(4);
    site.drive_material = PipeMaterial::steel;
    site.pump_bore = millimetres(50);
    site.delivery_length = metres(110);
    site.delivery_bore = millimetres(25);
    return site;
}

std::optional<SiteWithFigures> draw_figures(const Pack& pack, const PumpEvidence& evidence, const PumpDesign& sound,
                                            const DrawnVisit& drawn, Dice& dice) {
    if (drawn.truth.first >= pack.causes.size()) return std::nullopt; // nobody knows what it does to a pump
    const Cause& cause = pack.causes[drawn.truth.first];
    const PumpDesign own = draw_designs(sound, usual_doubts(), 1, dice).front();
    PumpDesign faulty = own;
    const double severity = cause.severity_least + dice.even() * (cause.severity_most - cause.severity_least);
    if (!apply_effects(faulty, cause.in_the_pump, severity)) return std::nullopt;
    RunOptions options{.seconds = 40, .warm_up_seconds = 15};
    options.reaches = ensemble_reaches;
    const std::vector<PumpDesign> designs{own, faulty};
    const std::vector<PumpRun> runs = simulate_many(designs, options);
    const std::vector<double> healthy = figures_of(evidence.kinds, own, runs[0]);
    const std::vector<double> now = figures_of(evidence.kinds, faulty, runs[1]);

    SiteWithFigures drawn_site{exam_site(), {}, &evidence};
    for (std::size_t k = 0; k < evidence.kinds.size(); ++k) {
        const Measurement& how = *find_measurement(pack, evidence.kinds[k]);
        if (!std::isfinite(healthy[k]) || !std::isfinite(now[k])) return std::nullopt;
        const double record = read_off(how, healthy[k], dice), found = read_off(how, now[k], dice);
        note_record(drawn_site.site, how.id, record);
        const bool stands = runs[1].rest != ValveRest::runs;
        if (!(stands && how.pump == PumpState::running)) drawn_site.found[how.id] = found;
    }
    return drawn_site;
}

std::optional<FiguresJudged> judge_figures(const Pack& pack, const Model& model, const PumpEvidence& evidence,
                                           const PumpDesign& sound, const DrawnVisit& drawn, Person person, Dice& dice) {
    const std::optional<SiteWithFigures> figures = draw_figures(pack, evidence, sound, drawn, dice);
    if (!figures) return std::nullopt;
    Visit visit = all_answered(pack, drawn, person);
    std::erase_if(visit.answers, [&](const Answered& given) {
        const Observation* const observation = find_observation(pack, given.observation);
        return observation != nullptr && takes(*observation, evidence.kinds);
    });
    visit.site = figures->site;
    for (const auto& [id, found] : figures->found) visit.as_found[id] = {id, found, Care::careful};
    return FiguresJudged{judged(pack, model, visit, nullptr, drawn.truth), judged(pack, model, visit, &evidence, drawn.truth)};
}

} // namespace beckhand
