// The fold: first which events were taken back, then the rest in order of their numbers. Two passes, so
// that taking back anything, at any depth, is the same as its never having happened.
#include "engine/diagnosis/visit.h"

#include <algorithm>
#include <limits>
#include <set>

namespace beckhand {
namespace {

/// What two people agreed on stands: a handing over is offered anew rather than taken back.
bool undoable(const Happening& what) {
    return !std::holds_alternative<Opened>(what) && !std::holds_alternative<TookBack>(what) &&
           !std::holds_alternative<Offered>(what) && !std::holds_alternative<SaidBack>(what) &&
           !std::holds_alternative<Received>(what) && !std::holds_alternative<AnsweringAs>(what) &&
           !std::holds_alternative<Recalled>(what);
}

/// Takes one live event after the other. Every overload says whether the event changed anything: what did
/// not is left out of `undoable`, for a press on `back` that does nothing to be seen puzzles people.
struct Folder {
    Visit visit;
    bool opened = false;

    Attempt* current(const std::string& cause) {
        const bool any = !visit.attempts.empty() && visit.attempts.back().open();
        return any && visit.attempts.back().cause == cause ? &visit.attempts.back() : nullptr;
    }

    // Figures belong to the proof from the last step of a fix to its verdict.
    Attempt* under_proof() {
        const bool any = !visit.attempts.empty() && visit.attempts.back().open();
        return any && visit.attempts.back().finished ? &visit.attempts.back() : nullptr;
    }

    bool take(const Opened& event, const Event& from) {
        if (opened)
            return false;
        opened = true;
        visit.site_id = event.site_id;
        visit.site = event.site;
        visit.pack_version = event.pack_version;
        visit.pack_hash = event.pack_hash;
        visit.opened_at = from.at;
        return true;
    }

    /// Asked or measured again because a repair may have changed it.
    bool before_verdict(const std::map<std::string, int>& when, const std::string& id) const {
        const auto at = when.find(id);
        return at != when.end() && std::any_of(visit.attempts.begin(), visit.attempts.end(),
                                               [&](const Attempt& a) { return a.judged > at->second; });
    }

    bool take(const Answered& event, const Event& from) {
        const Answered* const earlier = visit.answer_to(event.observation);
        if (earlier && !earlier->told && before_verdict(visit.answered_at, event.observation))
            ++visit.asked_again;
        const bool again = earlier && !before_verdict(visit.answered_at, event.observation);
        visit.confirmed_at.erase(event.observation);
        if (again && earlier->answer == event.answer)
            visit.confirmed_at[event.observation] = from.number;
        if (!again)
            visit.looked_again.erase(event.observation);
        else if (!event.told)
            visit.looked_again.insert(event.observation);
        visit.answered_at[event.observation] = from.number;
        std::erase_if(visit.told, [&](const Answered& a) {
            return a.observation == event.observation && (!event.told || a.answer == event.answer);
        });
        if (event.told)
            visit.told.push_back(event);
        std::erase_if(visit.answers, [&](const Answered& a) { return a.observation == event.observation; });
        visit.answers.push_back(event);
        visit.answered_by.erase(event.observation);
        if (visit.person != Person::keeper) visit.answered_by[event.observation] = visit.person;
        return true;
    }

    bool take(const Measured& event, const Event& from) {
        Attempt* const attempt = under_proof();
        if (attempt) {
            attempt->proof_at = from.number;
        } else {
            visit.asked_again += before_verdict(visit.measured_at, event.measurement);
            visit.measured_at[event.measurement] = from.number;
        }
        (attempt ? attempt->proof : visit.as_found)[event.measurement] = event;
        (attempt ? attempt->not_measured : visit.not_measured).erase(event.measurement);
        return true;
    }

    // The later word holds: whoever says that a figure cannot be had withdraws the one given before.
    bool take(const NotMeasured& event, const Event&) {
        Attempt* const attempt = under_proof();
        (attempt ? attempt->proof : visit.as_found).erase(event.measurement);
        (attempt ? attempt->not_measured : visit.not_measured)[event.measurement] = true;
        return true;
    }

    bool take(const FixChosen& event, const Event&) {
        visit.aside.erase(event.cause);
        Attempt* const same = current(event.cause);
        if (same && same->check == CheckResult::could_not && !same->unchecked) {
            same->unchecked = true;
            return true;
        }
        if (!visit.attempts.empty() && visit.attempts.back().open())
            visit.attempts.back().left = true;
        Attempt attempt;
        attempt.cause = event.cause;
        visit.attempts.push_back(std::move(attempt));
        return true;
    }

    bool take(const Checked& event, const Event&) {
        Attempt* const attempt = current(event.cause);
        if (attempt)
            attempt->check = event.result;
        return attempt != nullptr;
    }

    bool take(const StepTicked& event, const Event&) {
        Attempt* const attempt = event.step < 0 ? nullptr : current(event.cause);
        if (attempt)
            attempt->steps[event.step] = event.done;
        return attempt != nullptr;
    }

    bool take(const FixFinished& event, const Event&) {
        Attempt* const attempt = current(event.cause);
        if (attempt) {
            attempt->finished = true;
            return true;
        }
        const Attempt* const earlier = visit.current_attempt() ? nullptr : visit.unproved(event.cause);
        if (!earlier)
            return false;
        Attempt again;
        again.cause = earlier->cause;
        again.check = earlier->check;
        again.steps = earlier->steps;
        again.unchecked = earlier->unchecked;
        again.finished = again.again = true;
        visit.attempts.push_back(std::move(again));
        visit.aside.erase(event.cause);
        return true;
    }

    bool take(const ProofSeen& event, const Event&) {
        Attempt* const attempt = current(event.cause);
        if (attempt) {
            attempt->seen = event.yes;
            attempt->could_not_see = false;
        }
        return attempt != nullptr;
    }

    bool take(const ProofNotSeen& event, const Event&) {
        Attempt* const attempt = current(event.cause);
        if (attempt) {
            attempt->seen.reset();
            attempt->could_not_see = true;
        }
        return attempt != nullptr;
    }

    bool take(const Judged& event, const Event& from) {
        Attempt* const attempt = current(event.cause);
        if (attempt) {
            attempt->verdict = event.verdict;
            attempt->judged = from.number;
        }
        return attempt != nullptr;
    }

    bool take(const Noted& event, const Event&) {
        visit.notes.push_back(event.text);
        return true;
    }

    bool take(const Closed& event, const Event&) {
        visit.closed = event.how;
        return true;
    }

    bool take(const Began&, const Event&) {
        const bool first = !visit.began;
        visit.began = true;
        return first;
    }

    bool take(const Heeded& event, const Event&) {
        visit.heeded.push_back(event.caution);
        std::erase(visit.kept_from, event.caution);
        visit.kept_from.push_back(event.caution);
        return true;
    }

    bool take(const SafeNow& event, const Event&) {
        visit.heeded.push_back(event.caution);
        std::erase(visit.kept_from, event.caution);
        return true;
    }

    bool take(const AnsweringAs& event, const Event&) {
        visit.person = event.person;
        return true;
    }

    bool take(const Recalled& event, const Event&) {
        visit.past = event.past;
        visit.learned = event.learned;
        return true;
    }

    bool take(const Serviced& event, const Event&) {
        std::erase(visit.serviced, event.service);
        visit.serviced.push_back(event.service);
        return true;
    }

    bool take(const PartUsed& event, const Event&) {
        const auto held = visit.parts_used.find(event.part);
        const int before = held == visit.parts_used.end() ? 0 : held->second;
        if (event.part.empty() || event.count < 1 || event.count > most_parts_used - before)
            return false;
        visit.parts_used[event.part] = before + event.count;
        return true;
    }

    bool take(const SetAside& event, const Event&) {
        visit.aside[event.cause] = PutAside{event.why, steps_asked(visit)};
        if (Attempt* const attempt = current(event.cause))
            attempt->left = true;
        return true;
    }

    bool take(const Offered& event, const Event& from) {
        Handover handover;
        handover.from = from.by;
        handover.to = event.to;
        handover.offered_at = from.at;
        visit.handover = std::move(handover);
        return true;
    }

    bool take(const SaidBack& event, const Event& from) {
        const bool known = std::find(say_back_topics.begin(), say_back_topics.end(), event.topic) != say_back_topics.end();
        if (!visit.handover || !known)
            return false;
        const bool before = visit.handover->read_back();
        visit.handover->said_back.push_back(event);
        if (!before && visit.handover->read_back())
            visit.handover->read_back_at = from.at;
        return true;
    }

    bool take(const Received& event, const Event& from) {
        if (!visit.handover || event.by.empty())
            return false;
        visit.handover->received_by = event.by;
        visit.handover->received_at = from.at;
        return true;
    }

    bool take(const TookBack&, const Event&) { return false; } // done its work in the first pass
};

} // namespace

bool Attempt::open() const {
    return !left && !verdict && check != CheckResult::no;
}

bool Attempt::repaired() const {
    return finished && (steps.empty() ||
                        std::any_of(steps.begin(), steps.end(), [](const auto& step) { return step.second; }));
}

std::string_view Handover::next_topic() const {
    std::string_view longest_ago;
    std::size_t at = said_back.size();
    for (const std::string_view topic : say_back_topics) {
        std::size_t last = said_back.size();
        for (std::size_t i = 0; i < said_back.size(); ++i) {
            if (said_back[i].topic == topic)
                last = i;
        }
        if (last == said_back.size())
            return topic;
        if (!said_back[last].right && last < at) {
            at = last;
            longest_ago = topic;
        }
    }
    return longest_ago;
}

bool Handover::read_back() const {
    return next_topic().empty();
}

const Answered* Visit::answer_to(std::string_view observation) const {
    const auto found = std::find_if(answers.begin(), answers.end(),
                                    [&](const Answered& a) { return a.observation == observation; });
    return found == answers.end() ? nullptr : &*found;
}

const Attempt* Visit::current_attempt() const {
    return !attempts.empty() && attempts.back().open() ? &attempts.back() : nullptr;
}

const Attempt* Visit::unproved(std::string_view cause) const {
    const auto last = std::find_if(attempts.rbegin(), attempts.rend(),
                                   [&](const Attempt& a) { return a.cause == cause; });
    if (last == attempts.rend() || !last->repaired()) return nullptr;
    const bool only_looked = last->verdict == Verdict::better && last->proof.empty();
    return last->verdict == Verdict::not_proved || only_looked ? &*last : nullptr;
}

int steps_asked(const Visit& visit) {
    const auto asked = std::count_if(visit.answers.begin(), visit.answers.end(),
                                     [](const Answered& a) { return !a.told; });
    return static_cast<int>(asked) + static_cast<int>(visit.as_found.size() + visit.not_measured.size()) +
           visit.asked_again;
}

int number_of(const std::map<std::string, int>& numbers, const std::string& id) {
    const auto found = numbers.find(id);
    return found == numbers.end() ? 0 : found->second;
}

Opened opening_of(std::string site_id, Site site, std::string pack_version, std::string pack_hash) {
    site.access.clear();
    site.call.clear();
    return {std::move(site_id), std::move(site), std::move(pack_version), std::move(pack_hash)};
}

Visit fold(std::span<const Event> events) {
    // The greatest number is refused so that there is always a next one.
    std::map<int, const Event*> by_number;
    for (const Event& event : events) {
        if (event.number >= 1 && event.number < std::numeric_limits<int>::max()) {
            by_number.emplace(event.number, &event);
        }
    }

    // Only what came before can be taken back, and what was taken back stays so: there is no redo.
    std::set<int> taken_back;
    for (const auto& [number, event] : by_number) {
        const auto* const back = std::get_if<TookBack>(&event->what);
        if (!back || back->event >= number)
            continue;
        const auto target = by_number.find(back->event);
        if (target != by_number.end() && undoable(target->second->what))
            taken_back.insert(back->event);
    }

    Folder folder;
    for (const auto& [number, event] : by_number) {
        if (taken_back.contains(number))
            continue;
        const Event& from = *event;
        const bool held = std::visit([&](const auto& what) { return folder.take(what, from); }, from.what);
        if (held && undoable(event->what))
            folder.visit.undoable.push_back(number);
    }
    if (!by_number.empty())
        folder.visit.next_number = by_number.rbegin()->first + 1;
    return std::move(folder.visit);
}

std::optional<TookBack> take_back(const Visit& visit) {
    if (visit.undoable.empty())
        return std::nullopt;
    return TookBack{visit.undoable.back()};
}

} // namespace beckhand
