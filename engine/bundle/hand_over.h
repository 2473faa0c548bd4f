// A hand-over with the log behind it: the part of the log that goes, sealed; what came, taken in whole or not
// at all; and what this side knows of its hand-overs, kept among the log's settings.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "engine/bundle/preview.h"
#include "engine/bundle/receipt.h"
#include "engine/bundle/seal.h"
#include "engine/records/store.h"

namespace beckhand::bundle {

/// What is kept beside the entries, on this side alone.
struct Standing {
    std::map<std::string, std::string> trusted;    // public key, hex -> name given here
    std::vector<HandOver> hand_overs;              // oldest first
};
[[nodiscard]] Result<Standing> read_standing(const Store& store);
[[nodiscard]] Outcome save_standing(Store& store, const Standing& standing);

/// The whole log.
[[nodiscard]] Result<LogSlice> slice_of(const Store& store);

/// A site with its visits, or one visit with its site; both with every wish to be erased, sealed.
[[nodiscard]] Result<Bytes> sealed_site(const Store& store, const std::string& site_id, const DeviceKey& key);
[[nodiscard]] Result<Bytes> sealed_visit(const Store& store, const std::string& visit_id, const DeviceKey& key);
/// Notes a sealed site as offered; the same bytes twice are one offer.
[[nodiscard]] Outcome note_offer(Store& store, ByteView sealed, const SiteRow& site, Instant now);

/// Takes in what `preview` showed, notes it as received and gives the sealed receipt. A Problem when the log
/// is not afterwards what was shown.
[[nodiscard]] Result<Bytes> take_in(Store& store, const Sealed& sealed, const LogSlice& offered,
                                    const Preview& shown, const DeviceKey& key, Instant now);
/// Takes a receipt; gives the hand-over that it answers, or a Problem when there is none.
[[nodiscard]] Result<HandOver> take_receipt(Store& store, const Sealed& sealed, const PublicKey& own);

} // namespace beckhand::bundle
