#include "engine/diagnosis/exam_play.h"

#include <algorithm>
#include <iterator>
#include <string_view>

#include "engine/diagnosis/present.h"

namespace beckhand {
namespace {

constexpr int most_steps = 400; // no visit is this long; a loop would be our own bug

/// A cause of the pack: neither "something else" nor no second fault.
bool is_known(const Pack& pack, std::size_t cause) { return cause < pack.causes.size(); }

/// From the intake to the tank.
std::size_t place_in_walk(const std::string& part) {
    constexpr std::string_view parts[] = {"intake",      "fall",    "drive_pipe", "body",     "waste_valve",
                                          "check_valve", "snifter", "air_vessel", "delivery", "lift", "tank"};
    return static_cast<std::size_t>(std::find(std::begin(parts), std::end(parts), part) - std::begin(parts));
}

std::size_t walk_next(const Pack& pack, const Visit& visit) {
    std::size_t best = pack.causes.size();
    for (std::size_t c = 0; c < pack.causes.size(); ++c) {
        const bool tried = std::any_of(visit.attempts.begin(), visit.attempts.end(),
                                       [&](const Attempt& a) { return a.cause == pack.causes[c].id; });
        if (tried) continue;
        if (best == pack.causes.size() || place_in_walk(pack.causes[c].part) < place_in_walk(pack.causes[best].part)) best = c;
    }
    return best;
}

struct Playing {
    const Pack& pack;
    const Model& model;
    const DrawnVisit& drawn;
    const SiteWithFigures* measured;
    std::vector<Event> events;
    Visit visit;

    Playing(const Pack& p, const Model& m, const DrawnVisit& d, Person person, const SiteWithFigures* with)
        : pack(p), model(m), drawn(d), measured(with) {
        Opened opened;
        if (measured != nullptr) opened.site = measured->site;
        else opened.site.record.beat = beats_per_minute(60); // without it the beat is not set beside a record
        add(opened);
        if (person != Person::keeper) add(AnsweringAs{person});
        for (std::size_t o = 0; o < pack.observations.size(); ++o) {
            const Observation& observation = pack.observations[o];
            const Answer& answer = observation.answers[drawn.shows[o]];
            if (observation.id == "complaint" && !answer.cannot) add(Answered{observation.id, answer.id, true});
        }
        add(Began{});
        refresh();
    }

    void add(const Happening& what) {
        events.push_back({static_cast<int>(events.size()) + 1, exam_day, "exam", what});
    }
    void refresh() { visit = fold(events); }

    void answer(std::size_t o, const std::vector<std::size_t>& mended) {
        const bool half = mended.size() == 1 && drawn.truth.second != no_fault;
        const bool again = present_of(pack, visit).answer_to(pack.observations[o].id) != nullptr;
        const std::size_t gone = half && mended.front() != drawn.truth.first ? 1 : 0;
        const auto& shown = half ? (again ? drawn.left_again : drawn.left)[gone] : again ? drawn.shows_again : drawn.shows;
        add(Answered{pack.observations[o].id, pack.observations[o].answers[shown[o]].id, false});
    }

    /// The figure that this step takes, where it is read off a pump.
    [[nodiscard]] const Measurement* figure_of(const NextStep& step) const {
        const auto* const measure = std::get_if<Measure>(&step);
        if (measure == nullptr || measured == nullptr) return nullptr;
        const Measurement& how = pack.measurements[measure->measurement];
        return measured->found.count(how.id) > 0 ? &how : nullptr;
    }

    struct Took {
        double minutes = 0, walking = 0;
    };
    /// What is asked next takes so long, people's tiring left out: that is how dear it feels.
    [[nodiscard]] Took minutes_of(const NextStep& step) const {
        const Place here = place_now(pack, visit);
        double looking = 0;
        Place there = here;
        if (const auto* ask = std::get_if<Ask>(&step)) {
            looking = pack.observations[ask->observation].minutes;
            there = pack.observations[ask->observation].place;
        } else if (const auto* measure = std::get_if<Measure>(&step)) {
            // The person brings the answer that the figures would give, once all of them are taken.
            there = pack.measurements[measure->measurement].place;
            const Measurement* const one = figure_of(step);
            if (one != nullptr) looking = one->minutes;
            else for (const std::string& id : pack.observations[measure->observation].bands->needs) {
                const Measurement* const how = find_measurement(pack, id);
                looking += how != nullptr ? how->minutes : 0;
            }
        }
        const double on_the_spot = overhead_minutes(here, here), all = overhead_minutes(there, here);
        return {looking + all, all - on_the_spot};
    }
};

std::optional<std::size_t> observation_of(const NextStep& step) {
    if (const auto* ask = std::get_if<Ask>(&step)) return ask->observation;
    if (const auto* measure = std::get_if<Measure>(&step)) return measure->observation;
    return std::nullopt;
}

NextStep decide(const Playing& now, const Belief& belief, const Grounds& grounds, ExamPolicy policy) {
    const Pack& pack = now.pack;
    StepRules rules;
    rules.second_looks = policy == ExamPolicy::ours || policy == ExamPolicy::one_step;
    if (policy == ExamPolicy::one_step) rules.policy = {.slack = 0, .repair_first = false, .look_ahead = 0};
    if (policy == ExamPolicy::ours || policy == ExamPolicy::no_second_look || policy == ExamPolicy::one_step) {
        return next_step(pack, now.model, now.visit, grounds, belief, rules).step;
    }
    const auto leader = cause_to_try(pack, now.visit, belief);
    if (!leader) return Finish{EndReason::nothing_left};
    if (mass_of_fix(pack, belief, *leader) < telling_until) {
        rules.only_ask = rules.most_telling = true;
        if (policy == ExamPolicy::telling_on) rules.most_questions = 1000;
        const NextStep step = next_step(pack, now.model, now.visit, grounds, belief, rules).step;
        const auto* end = std::get_if<Finish>(&step);
        if (end == nullptr || end->reason != EndReason::nothing_left) return step;
    }
    if (policy == ExamPolicy::telling_belief) return TryFix{*leader};
    StepRules no_more;
    no_more.most_questions = -1000;
    return next_step(pack, now.model, now.visit, grounds, belief, no_more).step;
}

/// Checks a cause and mends what the check finds.
void try_cause(Playing& now, std::size_t c, ExamPlay& play) {
    const Cause& cause = now.pack.causes[c];
    play.minutes += std::min(cause.check.minutes, long_work) + overhead_minutes(cause.check.place, place_now(now.pack, now.visit));
    const bool still = now.drawn.there(c) && std::find(play.mended.begin(), play.mended.end(), c) == play.mended.end();
    const bool twice = std::any_of(now.visit.attempts.begin(), now.visit.attempts.end(), [&](const Attempt& a) { return a.cause == cause.id; });
    const bool yes = (twice ? now.drawn.luck_again : now.drawn.luck)[c] < (still ? check_finds : check_blames);
    now.add(FixChosen{cause.id});
    now.add(Checked{cause.id, yes ? CheckResult::yes : CheckResult::no});
    if (!yes) return;
    play.minutes += std::min(cause.fix.minutes, long_work);
    // A repair mends whatever it is the repair of.
    const std::size_t before = play.mended.size();
    for (const std::size_t truth : {now.drawn.truth.first, now.drawn.truth.second}) {
        const bool gone = std::find(play.mended.begin(), play.mended.end(), truth) != play.mended.end();
        if (is_known(now.pack, truth) && !gone && now.pack.causes[truth].fix.id == cause.fix.id) play.mended.push_back(truth);
    }
    const std::size_t all = now.drawn.truth.second == no_fault ? 1 : 2;
    const bool helped = play.mended.size() > before;
    const Verdict verdict = !helped ? Verdict::not_it : play.mended.size() == all ? Verdict::proved : Verdict::better;
    play.proved = verdict == Verdict::proved;
    play.repairs_in_vain += helped ? 0 : 1;
    for (std::size_t s = 0; s < cause.fix.steps.size(); ++s) now.add(StepTicked{cause.id, static_cast<int>(s), true});
    now.add(FixFinished{cause.id});
    now.add(ProofSeen{cause.id, verdict == Verdict::proved});
    now.add(Judged{cause.id, verdict});
}

} // namespace

Standing standing_of(const Pack& pack, const Belief& belief, const Hypothesis& truth) {
    Standing standing;
    standing.chance = belief.of(belief.first());
    const auto mends = [&](std::size_t cause, std::size_t wrong) {
        return is_known(pack, cause) && is_known(pack, wrong) && pack.causes[cause].fix.id == pack.causes[wrong].fix.id;
    };
    for (std::size_t i = 0; i < 3 && i < belief.ranked.size(); ++i) {
        const std::size_t c = belief.ranked[i];
        const bool there = c == truth.first || c == truth.second;
        const bool repair = mends(c, truth.first) || mends(c, truth.second);
        if (i == 0) {
            standing.right = there;
            standing.mends = repair;
        }
        standing.in_three = standing.in_three || there;
        standing.mends_in_three = standing.mends_in_three || repair;
    }
    return standing;
}

namespace {

/// `moments`: where the visit before each step is kept, if anywhere.
ExamPlay played(const Pack& pack, const Model& model, const DrawnVisit& drawn, Person person, ExamPolicy policy,
                const SiteWithFigures* measured, std::vector<Visit>* moments) {
    Playing now(pack, model, drawn, person, measured);
    ExamPlay play;
    Belief belief;
    for (int i = 0; i < most_steps && !play.proved; ++i) {
        if (policy == ExamPolicy::walk) {
            const std::size_t next = walk_next(pack, now.visit);
            if (next == pack.causes.size()) break;
            try_cause(now, next, play);
            now.refresh();
            continue;
        }
        if (moments != nullptr) moments->push_back(now.visit);
        const Grounds grounds = grounds_of(pack, model, now.visit, measured != nullptr ? measured->evidence : nullptr);
        belief = belief_of(model, grounds);
        const NextStep step = decide(now, belief, grounds, policy);
        if (const auto o = observation_of(step)) {
            const Playing::Took took = now.minutes_of(step);
            play.minutes += took.minutes;
            play.asking_minutes += took.minutes;
            play.walking_minutes += took.walking;
            ++play.asked;
            if (const Measurement* const how = now.figure_of(step)) now.add(Measured{how->id, measured->found.at(how->id)});
            else now.answer(*o, play.mended);
        } else if (const auto* stop = std::get_if<StopFirst>(&step)) {
            now.add(SafeNow{pack.cautions[stop->caution].id});
        } else if (const auto* fix = std::get_if<TryFix>(&step)) {
            if (!play.first_finding) play.first_finding = standing_of(pack, belief, drawn.truth);
            try_cause(now, fix->cause, play);
        } else {
            break;
        }
        now.refresh();
    }
    play.named = play.mended;
    if (!play.proved) {
        play.minutes += StepRules{}.help_minutes;
        const auto leader = policy == ExamPolicy::walk ? std::nullopt : cause_to_try(pack, now.visit, belief);
        for (const std::size_t truth : {drawn.truth.first, drawn.truth.second}) {
            const bool known = std::find(play.named.begin(), play.named.end(), truth) != play.named.end();
            if (!leader || !is_known(pack, truth) || known) continue;
            // Who says that the pump is as good as ever has called it healthy, whatever the use or the tank do.
            const bool both_sound = pack.causes[truth].sound_pump && pack.causes[*leader].sound_pump;
            if (both_sound || pack.causes[truth].fix.id == pack.causes[*leader].fix.id) {
                play.named.push_back(truth);
            }
        }
    }
    return play;
}

} // namespace

ExamPlay play_drawn(const Pack& pack, const Model& model, const DrawnVisit& drawn, Person person, ExamPolicy policy,
                    const SiteWithFigures* measured) {
    return played(pack, model, drawn, person, policy, measured, nullptr);
}

std::vector<Visit> moments_of(const Pack& pack, const Model& model, const DrawnVisit& drawn, Person person) {
    std::vector<Visit> moments;
    (void)played(pack, model, drawn, person, ExamPolicy::ours, nullptr, &moments);
    return moments;
}

double minutes_of_knowing(const Pack& pack, const DrawnVisit& drawn) {
    double spent = 0;
    Place here = Place::pump;
    for (const std::size_t c : {drawn.truth.first, drawn.truth.second}) {
        if (c == no_fault) continue;
        if (!is_known(pack, c)) return StepRules{}.help_minutes;
        const Cause& cause = pack.causes[c];
        spent += std::min(cause.check.minutes, long_work) + overhead_minutes(cause.check.place, here);
        if (cause.check.place != Place::anywhere) here = cause.check.place;
        if (drawn.luck[c] >= check_finds) return spent + StepRules{}.help_minutes;
        spent += std::min(cause.fix.minutes, long_work);
    }
    return spent;
}

std::vector<Standing> play_questions(const Pack& pack, const Model& model, const DrawnVisit& drawn, Person person,
                                     bool most_telling, const std::vector<int>& counts) {
    Playing now(pack, model, drawn, person, nullptr);
    StepRules rules;
    rules.only_ask = true;
    rules.most_telling = most_telling;
    rules.most_questions = 1000;
    std::vector<Standing> standings;
    int asked = 0;
    for (int i = 0; i < most_steps && standings.size() < counts.size(); ++i) {
        const Grounds grounds = grounds_of(pack, model, now.visit);
        const Belief belief = belief_of(model, grounds);
        if (asked == counts[standings.size()]) standings.push_back(standing_of(pack, belief, drawn.truth));
        if (standings.size() == counts.size()) break;
        const NextStep step = next_step(pack, model, now.visit, grounds, belief, rules).step;
        if (const auto o = observation_of(step)) {
            now.answer(*o, {});
            ++asked;
        } else if (const auto* stop = std::get_if<StopFirst>(&step)) {
            now.add(SafeNow{pack.cautions[stop->caution].id});
        } else {
            const Standing last = standing_of(pack, belief, drawn.truth);
            while (standings.size() < counts.size()) standings.push_back(last);
        }
        now.refresh();
    }
    return standings;
}

Visit all_answered(const Pack& pack, const DrawnVisit& drawn, Person person) {
    std::vector<Event> events{{1, exam_day, "exam", Opened{}}, {2, exam_day, "exam", AnsweringAs{person}}};
    for (std::size_t o = 0; o < pack.observations.size(); ++o) {
        const Observation& observation = pack.observations[o];
        events.push_back({static_cast<int>(events.size()) + 1, exam_day, "exam",
                          Answered{observation.id, observation.answers[drawn.shows[o]].id, observation.id == "complaint"}});
    }
    return fold(events);
}

} // namespace beckhand
