// Work beside the drawing, in slices between frames, and what the virtual pump says of the site on the screen.
// Another site, or another screen, and the rest of it is left undone.
#include "app/app.h"

#include "engine/records/site_fields.h"

namespace beckhand {
namespace {

/// Before the virtual pump has spoken.
std::optional<OneBeat> first_beat(const Site& site) {
    const Result<PumpDesign> sound = design_for(site);
    return sound ? beat_by_formulas(*sound) : std::nullopt;
}

/// The site that the screen speaks of.
const Site* site_on_screen(const State& state) {
    if (state.screen == Screen::visit && !state.scene.visit.closed) return &state.scene.visit.site;
    if (state.screen != Screen::site_sheet && state.screen != Screen::trend) return nullptr;
    const SiteRow* const row = find_site(state, state.site_id);
    return row != nullptr ? &row->site : nullptr;
}

} // namespace

const Outlook* App::outlook_of(const Site& site) const {
    return state_.outlook.key == figures_key(site) ? state_.outlook.found() : nullptr;
}

const PumpEvidence* App::evidence_of(const Site& site) const {
    const bool known = evidence_ && evidence_->key == pack_.hash + figures_key(site) && !evidence_->job;
    return known && !evidence_->found.causes.empty() ? &evidence_->found : nullptr;
}

Scene App::scene_for(const Visit& visit) const {
    return scene_of(pack_, model_, visit, {outlook_of(visit.site), evidence_of(visit.site)}, state_.units);
}

bool App::work() { return look_back_at_next() || work_on_outlook() || work_on_evidence(); }

bool App::work_on_evidence() {
    const Site* const site = state_.screen == Screen::visit ? site_on_screen(state_) : nullptr;
    if (site == nullptr) return false;
    const std::string key = pack_.hash + figures_key(*site);
    if (!evidence_ || evidence_->key != key) {
        const Result<PumpDesign> sound = design_for(*site);
        evidence_.emplace(EvidenceOfSite{.key = key});
        if (sound) evidence_->job.emplace(pack_, *sound, drawn_for_a_visit);
    }
    if (!evidence_->job) return false;
    if (part(*evidence_->job)) return true;
    evidence_->found = std::move(evidence_->job->evidence);
    evidence_->job.reset();
    state_.scene = scene_for(state_.scene.visit);
    return true;
}

bool App::work_on_outlook() {
    const Site* const site = site_on_screen(state_);
    if (site == nullptr) {
        job_.reset();
        return false;
    }
    const Depth depth = state_.screen == Screen::site_sheet ? Depth::site_sheet : Depth::sound_pump;
    const std::string key = figures_key(*site);
    const bool begun = job_.has_value() || state_.outlook.result.has_value(); // and not left off
    const bool known = begun && state_.outlook.key == key && state_.outlook.depth >= depth;
    if (known && !job_) return false;
    if (!known) {
        job_.emplace(*site, depth);
        const std::optional<OneBeat> beat = state_.outlook.key == key ? state_.outlook.beat : first_beat(*site);
        state_.outlook = OutlookOnScreen{.key = key, .depth = depth, .beat = beat};
    }
    const bool more = job_->part();
    state_.outlook.done = job_->done();
    state_.outlook.steps = job_->steps();
    if (more) return true;
    state_.outlook.result = job_->result();
    if (const Outlook* const outlook = state_.outlook.found()) {
        if (const std::optional<OneBeat> beat = one_beat(outlook->design)) state_.outlook.beat = beat;
    }
    job_.reset();
    if (state_.screen == Screen::visit) state_.scene = scene_for(state_.scene.visit);
    if (state_.screen == Screen::trend) {
        if (const SiteRow* const row = find_site(state_, state_.site_id)) look_back_at(*row);
    }
    return true;
}

} // namespace beckhand
