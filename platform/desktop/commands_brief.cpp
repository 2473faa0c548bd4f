// The command that hands a site on: its brief, read from the log.
#include <cstdio>

#include "app/handover/brief_pdf.h"
#include "app/handover/brief_text.h"
#include "app/handover/gather.h"
#include "platform/desktop/commands.h"
#include "platform/desktop/session.h"
#include "platform/desktop/visit_start.h"

namespace beckhand {
int command_brief(const Options& options, const std::string& site, const std::string& pdf) {
    auto session = Session::open(options);
    if (!session) return complain(session.error(), 1);
    const State& state = (*session)->app().state();
    const Pack& pack = (*session)->pack();
    const auto row = site_called(state, site);
    if (!row) return complain(row.error(), 2);
    const Result<Outlook> outlook = outlook_for(row->site, Depth::sound_pump);
    const BriefWish wish{state.units, minutes_ahead_here, clock_now(), state.by, outlook ? &*outlook : nullptr};
    const Model model(pack);
    const auto source = gather_brief((*session)->store(), pack, model, *row, wish);
    if (!source) return complain(source.error(), 1);
    const Brief brief = brief_of(pack, model, *source);
    if (pdf.empty()) {
        std::fputs(brief_text(brief).c_str(), stdout);
        return 0;
    }
    const auto paper = brief_paper(brief, row->site);
    if (!paper) return complain(paper.error(), 1);
    if (const Outcome written = write_whole(pdf, bundle::view(paper->bytes)); !written) return complain(written.error(), 1);
    std::printf("%s: %d %s.\n", pdf.c_str(), paper->pages, paper->pages == 1 ? "page" : "pages");
    return 0;
}

} // namespace beckhand
