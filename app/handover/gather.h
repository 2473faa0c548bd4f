// What a brief is made from, read out of the log.
#pragma once

#include <string>

#include "app/handover/brief.h"
#include "engine/records/store.h"

namespace beckhand {

/// What the log cannot tell.
struct BriefWish {
    Units units = Units::metric;
    MinutesAhead minutes_ahead{};
    Instant now;
    std::string by;
    const Outlook* outlook = nullptr;   // the virtual pump's figures of this site, where they are known
};

/// The site's visits, newest first, and the one that is open as it stands now. Fails where the log cannot be
/// read.
[[nodiscard]] Result<BriefSource> gather_brief(const Store& store, const Pack& pack, const Model& model,
                                               const SiteRow& site, const BriefWish& wish);

/// The visit that carries a handing over of this site: the open one, else the newest if the site was handed on
/// with it; empty for none.
[[nodiscard]] Result<std::string> handover_visit_of(const Store& store, const std::string& site_id);

} // namespace beckhand
