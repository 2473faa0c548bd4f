#include "engine/diagnosis/exam.h"

#include <algorithm>
#include <iterator>

#include "engine/pump/design.h"

namespace beckhand {
namespace {

/// A share of the visits is played again with two faults only, and with none.
std::size_t of_their_own(std::size_t visits) {
    return std::clamp<std::size_t>(visits / 4, std::min<std::size_t>(visits, 30), 300);
}

/// Random numbers of one visit: apart from those of all others.
Dice dice_of(const ExamJob& job, std::uint64_t section, std::size_t visit) {
    return Dice(job.wish.seed * 0x9e3779b97f4a7c15U + section * 0xd1b54a32d192ed03U + visit);
}

const Hypothesis& truth_of(const ExamJob& job, Truths truths, Dice& dice) {
    return job.model.hypotheses()[drawn_index(weights_of(job.pack, job.model, truths), dice.even())];
}

DrawnVisit drawn_of(const ExamJob& job, Truths truths, Dice& dice) {
    const Hypothesis truth = truth_of(job, truths, dice);
    return draw_visit(job.pack, job.model, truth, job.wish.person, job.wish.slips, dice);
}

ExamVisit play_visit(const ExamJob& job, std::size_t number) {
    const Pack& pack = job.pack;
    const Model& model = job.model;
    const Person person = job.wish.person;
    Dice dice = dice_of(job, 1, number);
    const bool two = dice.even() < job.wish.two.value_or(pack.scale.pairs);
    const Hypothesis truth = truth_of(job, two ? Truths::two_causes : Truths::one_cause, dice);
    Dice again = dice;
    ExamVisit visit;
    visit.drawn = draw_visit(pack, model, truth, person, job.wish.slips, dice);
    for (const ExamPolicy policy : exam_policies) visit.plays.push_back(play_drawn(pack, model, visit.drawn, person, policy));
    visit.knowing = minutes_of_knowing(pack, visit.drawn);
    visit.ours = play_questions(pack, model, visit.drawn, person, false, exam_counts);
    visit.telling = play_questions(pack, model, visit.drawn, person, true, exam_counts);
    visit.everything = standing_of(pack, belief_after(pack, model, all_answered(pack, visit.drawn, person)), truth);
    if (job.evidence && !two) {
        visit.figures = judge_figures(pack, model, job.evidence->evidence, *job.sound, visit.drawn, person, dice);
    }
    const DrawnVisit slipping = draw_visit(pack, model, truth, person, job.wish.slips * exam_more_slips, again);
    visit.more_slips = play_questions(pack, model, slipping, person, false, exam_counts);
    visit.more_slips_finding = play_drawn(pack, model, slipping, person, ExamPolicy::ours).first_finding;
    return visit;
}

/// Adds up standings and turns them into shares.
struct Counting {
    Accuracy sum;
    void add(const Standing& s) {
        ++sum.visits;
        sum.right += s.right;
        sum.in_three += s.in_three;
        sum.mends += s.mends;
        sum.mends_in_three += s.mends_in_three;
    }
    [[nodiscard]] Accuracy shares() const {
        Accuracy out = sum;
        const double n = std::max<double>(1, static_cast<double>(sum.visits));
        for (double* const share : {&out.right, &out.in_three, &out.mends, &out.mends_in_three}) *share /= n;
        return out;
    }
};

PolicyRow row_of(const ExamJob& job, std::size_t p, double knowing) {
    PolicyRow row;
    row.policy = exam_policies[p];
    std::vector<double> spent, asked, asking, dearer;
    double proved = 0, in_vain = 0;
    for (const ExamVisit& visit : job.visits) {
        const ExamPlay& play = visit.plays[p];
        spent.push_back(play.minutes);
        asked.push_back(play.asked);
        asking.push_back(play.asking_minutes);
        dearer.push_back(play.minutes - visit.plays.front().minutes);
        proved += play.proved;
        in_vain += play.repairs_in_vain;
        row.walking += play.walking_minutes;
        row.looking += play.asking_minutes - play.walking_minutes - play.asked * overhead_minutes(Place::pump, Place::pump);
    }
    const double n = std::max<double>(1, static_cast<double>(job.visits.size()));
    row.minutes = spread_of(spent);
    row.asked = spread_of(asked);
    row.asking_minutes = spread_of(asking);
    row.dearer = spread_of(dearer);
    row.over_knowing = knowing > 0 ? row.minutes.mean / knowing : 0;
    row.proved = proved / n;
    row.in_vain = in_vain / n;
    row.walking /= n;
    row.looking /= n;
    return row;
}

Claim said_of(const Standing& standing) {
    return {standing.chance, standing.right};
}

void report_questions(const ExamJob& job, ExamReport& report) {
    for (std::size_t k = 0; k < exam_counts.size(); ++k) {
        QuestionsRow row;
        row.asked = exam_counts[k];
        Counting ours, telling;
        std::vector<Claim> honest, more;
        for (const ExamVisit& visit : job.visits) {
            ours.add(visit.ours[k]);
            telling.add(visit.telling[k]);
            honest.push_back(said_of(visit.ours[k]));
            more.push_back(said_of(visit.more_slips[k]));
        }
        row.ours = ours.shares();
        row.telling = telling.shares();
        row.honest = calibration_of(honest);
        row.more_slips = calibration_of(more);
        report.questions.push_back(row);
    }
}

void report_visits(const ExamJob& job, ExamReport& report) {
    Counting everything, finding, table, bands, pump;
    std::vector<Claim> honest, more;
    for (const ExamVisit& visit : job.visits) {
        report.two += visit.drawn.truth.second != no_fault ? 1 : 0;
        everything.add(visit.everything);
        if (const auto& first = visit.plays.front().first_finding) {
            finding.add(*first);
            honest.push_back(said_of(*first));
        }
        if (visit.more_slips_finding) more.push_back(said_of(*visit.more_slips_finding));
        if (visit.figures) {
            table.add(visit.everything);
            bands.add(visit.figures->by_bands);
            pump.add(visit.figures->by_pump);
        }
    }
    report.everything = everything.shares();
    report.finding_accuracy = finding.shares();
    report.finding = calibration_of(honest);
    report.finding_more_slips = calibration_of(more);
    report.figures_table = table.shares();
    report.figures_bands = bands.shares();
    report.figures_pump = pump.shares();
}

HealthyRow healthy_row(const std::vector<ExamPlay>& plays) {
    HealthyRow row;
    std::vector<double> spent;
    for (const ExamPlay& play : plays) {
        row.named += !play.named.empty();
        row.spared += play.repairs_in_vain == 0;
        spent.push_back(play.minutes);
    }
    const double n = std::max<double>(1, static_cast<double>(plays.size()));
    row.visits = plays.size();
    row.named /= n;
    row.spared /= n;
    row.minutes = spread_of(spent);
    return row;
}

void report_their_own(const ExamJob& job, ExamReport& report) {
    std::vector<double> spent;
    for (const ExamPlay& play : job.two_faults) {
        report.both_named += play.named.size() == 2;
        report.both_mended += play.mended.size() == 2;
        spent.push_back(play.minutes);
    }
    report.two_minutes = spread_of(spent);
    report.two_visits = job.two_faults.size();
    const double two = std::max<double>(1, static_cast<double>(report.two_visits));
    report.both_named /= two;
    report.both_mended /= two;
    report.healthy = healthy_row(job.healthy);
    report.healthy_measured = healthy_row(job.healthy_measured);
    const double healthy = std::max<double>(1, static_cast<double>(report.healthy.visits));
    report.two_ceiling = static_cast<double>(job.two_known) / two;
    report.healthy_ceiling = static_cast<double>(job.healthy_known) / healthy;
}

void set_targets(ExamReport& r) {
    const auto at_least = [&](const std::string& name, const std::string& wanted, double found, double least, std::size_t n) {
        r.targets.push_back({name, wanted, found, n > 0 && found >= least, n});
    };
    const auto at_most = [&](const std::string& name, const std::string& wanted, double found, double most, std::size_t n) {
        r.targets.push_back({name, wanted, found, n > 0 && found <= most, n});
    };
    const double ours = r.policies[0].minutes.mean;
    const auto saved = [&](std::size_t policy) {
        const double other = r.policies[policy].minutes.mean;
        return other > 0 ? 1 - ours / other : 0;
    };
    at_least("minutes saved against the most telling question to 0.8, then by belief", ">= 0.35", saved(3), 0.35, r.visits);
    at_least("minutes saved against the same, then the cheapest order of repairs", ">= 0.35", saved(2), 0.35, r.visits);
    at_least("minutes saved against the same, asking on to 0.8 without an end", ">= 0.35", saved(5), 0.35, r.visits);
    at_least("minutes saved against the fixed walk", ">= 0.35", saved(4), 0.35, r.visits);
    at_most("minutes against the one-step rule, as a multiple", "<= 1.01", 1 - saved(1) > 0 ? 1 - saved(1) : 0, 1.01, r.visits);
    for (const QuestionsRow& row : r.questions) {
        at_least("right first after " + std::to_string(row.asked) + " answers, against the most telling order", ">= -0.02",
                 row.ours.right - row.telling.right, -0.02, r.visits);
    }
    at_most("questions for each visit", "<= 13", r.policies[0].asked.mean, 13, r.visits);
    at_most("minutes of asking for each visit", "<= 25", r.policies[0].asking_minutes.mean, 25, r.visits);
    at_most("the same without walking", "<= 25", r.policies[0].asking_minutes.mean - r.policies[0].walking, 25, r.visits);
    at_most("of those looking and walking, without the minute of reading each question", "<= 25",
            r.policies[0].looking + r.policies[0].walking, 25, r.visits);
    at_most("looking and measuring alone", "<= 25", r.policies[0].looking, 25, r.visits);
    at_least("two faults: both named by the end", ">= 0.70", r.both_named, 0.70, r.two_visits);
    at_least("healthy called healthy, nothing known of the site", ">= 0.90", r.healthy.named, 0.90, r.healthy.visits);
    if (r.wish.figures) {
        at_least("healthy called healthy, site sheet filled in, figures read off the virtual pump", ">= 0.90",
                 r.healthy_measured.named, 0.90, r.healthy_measured.visits);
    }
    at_most("gap between belief and truth (ECE), first finding", "<= 0.03", r.finding.ece, 0.03, r.finding_accuracy.visits);
    at_most("the same with three times the slips", "<= 0.08", r.finding_more_slips.ece, 0.08, r.finding_accuracy.visits);
    for (const QuestionsRow& row : r.questions) {
        const std::string after = " after " + std::to_string(row.asked) + " answers";
        at_most("ECE" + after, "<= 0.03", row.honest.ece, 0.03, r.visits);
        at_most("ECE" + after + ", three times the slips", "<= 0.08", row.more_slips.ece, 0.08, r.visits);
    }
    if (r.wish.figures) {
        at_least("right repair first, all known, figures judged by the virtual pump", ">= 0.90", r.figures_pump.mends, 0.90,
                 r.figures_pump.visits);
    }
}

} // namespace

ExamJob::ExamJob(const Pack& p, const Model& m, const ExamWish& w) : pack(p), model(m), wish(w) {
    if (wish.figures) {
        if (const Result<PumpDesign> design = design_for(exam_site())) {
            sound = *design;
            evidence.emplace(pack, *sound, drawn_for_a_visit);
        }
    }
    steps = wish.visits + 2 * of_their_own(wish.visits) + (evidence ? evidence->tasks.size() + 1 : 0);
}

bool step(ExamJob& job) {
    if (job.done >= job.steps) return false;
    const std::size_t pump = job.evidence ? job.evidence->tasks.size() + 1 : 0;
    const std::size_t own = of_their_own(job.wish.visits);
    const Person person = job.wish.person;
    if (job.done < pump) {
        step(*job.evidence);
    } else {
        // All three kinds of visits go forward together, so that an exam that is cut short has some of each.
        const std::size_t all = job.wish.visits + 2 * own, now = job.done - pump;
        const std::size_t want_own = (now + 1) * own / std::max<std::size_t>(all, 1);
        if (job.two_faults.size() < want_own || (job.visits.size() == job.wish.visits && job.two_faults.size() < own)) {
            Dice dice = dice_of(job, 2, job.two_faults.size());
            const DrawnVisit drawn = drawn_of(job, Truths::two_in_a_chain, dice);
            job.two_faults.push_back(play_drawn(job.pack, job.model, drawn, person, ExamPolicy::ours));
            const Belief known = belief_after(job.pack, job.model, all_answered(job.pack, drawn, person));
            job.two_known += drawn.there(known.ranked[0]) && drawn.there(known.ranked[1]) ? 1U : 0U;
        } else if (job.healthy.size() < want_own || (job.visits.size() == job.wish.visits && job.healthy.size() < own)) {
            Dice dice = dice_of(job, 3, job.healthy.size());
            const DrawnVisit drawn = drawn_of(job, Truths::healthy, dice);
            if (job.evidence) {
                const auto site = draw_figures(job.pack, job.evidence->evidence, *job.sound, drawn, dice);
                if (site) job.healthy_measured.push_back(play_drawn(job.pack, job.model, drawn, person, ExamPolicy::ours, &*site));
            }
            job.healthy.push_back(play_drawn(job.pack, job.model, drawn, person, ExamPolicy::ours));
            const Belief known = belief_after(job.pack, job.model, all_answered(job.pack, drawn, person));
            job.healthy_known += known.first() < job.pack.causes.size() && job.pack.causes[known.first()].sound_pump ? 1U : 0U;
        } else {
            job.visits.push_back(play_visit(job, job.visits.size()));
        }
    }
    ++job.done;
    return job.done < job.steps;
}

double progress(const ExamJob& job) {
    return job.steps == 0 ? 1 : static_cast<double>(job.done) / static_cast<double>(job.steps);
}

ExamReport report_of(const ExamJob& job) {
    ExamReport report;
    report.wish = job.wish;
    report.visits = job.visits.size();
    std::vector<double> knowing;
    for (const ExamVisit& visit : job.visits) knowing.push_back(visit.knowing);
    report.knowing = spread_of(knowing);
    for (std::size_t p = 0; p < std::size(exam_policies); ++p) report.policies.push_back(row_of(job, p, report.knowing.mean));
    report_questions(job, report);
    report_visits(job, report);
    report_their_own(job, report);
    set_targets(report);
    return report;
}

} // namespace beckhand
