// Files that leave the program for somebody else: the export of a log, and a site that is handed over. A file is
// there whole or not at all, and what is said of it is said once it is there.
#pragma once

#include <functional>
#include <string>

#include "engine/bundle/hand_over.h"

namespace beckhand {

/// Writes every file of an export into `folder`, which is made where it is not there; `written` is told the path
/// of each. Stops with a Problem at the first that cannot be written.
[[nodiscard]] Outcome write_export(const bundle::LogSlice& log, const std::string& folder,
                                   const std::function<void(const std::string& path)>& written);

/// Writes a site with its visits, sealed, and then notes in the log that it was offered; its bytes.
[[nodiscard]] Result<bundle::Bytes> write_hand_over(Store& store, const SiteRow& site, const bundle::DeviceKey& key,
                                                    const std::string& file, Instant now);

} // namespace beckhand
