// The command that measures the diagnosis: progress on a terminal, Ctrl-C ends with what there is.
#include <csignal>
#include <cstdio>
#include <iterator>

#include <unistd.h>

#include "app/settings.h"
#include "app/terminal/exam_text.h"
#include "platform/desktop/commands.h"

namespace beckhand {
namespace {

volatile std::sig_atomic_t ended_early = 0;

} // namespace

int command_exam(const Options& options, const ExamWords& words) {
    const auto pack = load_pack(options);
    if (!pack) return complain(pack.error(), 2);
    const Model model(*pack);
    ExamWish wish;
    wish.visits = words.visits;
    wish.seed = words.seed;
    if (words.two >= 0) wish.two = words.two;
    wish.slips = words.slips;
    wish.person = person_of(words.person).value_or(wish.person);
    wish.figures = words.figures;
    ExamJob job(*pack, model, wish);
    const bool shown = isatty(STDERR_FILENO) != 0;
    ended_early = 0;
    const auto before = std::signal(SIGINT, [](int) { ended_early = 1; });
    while (ended_early == 0 && step(job)) {
        if (shown) std::fprintf(stderr, "\r%5.1f %%  %zu visits  (Ctrl-C ends with what there is)", 100 * progress(job), job.visits.size());
    }
    std::signal(SIGINT, before);
    if (shown) std::fprintf(stderr, "\r\033[K");
    const ExamReport report = report_of(job);
    if (report.visits == 0) return complain({"exam", "It was ended before the first visit.", "Let it go on a little."}, 1);
    std::fputs((words.json ? exam_json(*pack, report) : exam_text(*pack, report)).c_str(), stdout);
    return 0;
}

} // namespace beckhand
