#include "engine/bundle/hand_over.h"

#include <algorithm>
#include <memory>

#include <nlohmann/json.hpp>

#include "engine/bundle/slice_cbor.h"

namespace beckhand::bundle {
namespace {

using Json = nlohmann::json;
constexpr const char* standing_key = "handed over";

Result<Bytes> sealed_slice(const LogSlice& slice, const DeviceKey& key) {
    const Result<Bytes> inside = write_slice(slice);
    return inside ? seal(Content::log, *inside, key) : Result<Bytes>(inside.error());
}

} // namespace

Result<Standing> read_standing(const Store& store) {
    const auto kept = store.setting(standing_key);
    if (!kept)
        return kept.error();
    const Json json = *kept ? Json::parse(**kept, nullptr, false) : Json::object();
    Standing standing;
    try {
        standing.trusted = json.value("trusted", standing.trusted);
        for (const std::string& text : json.value("hand_overs", std::vector<std::string>{})) {
            if (auto read = hand_over_from_json(text))
                standing.hand_overs.push_back(*read);
        }
    } catch (const Json::exception&) {
        return Problem{"log", "What was kept of earlier hand-overs cannot be read.",
                       "Keep the log file and ask for help."};
    }
    return standing;
}

Outcome save_standing(Store& store, const Standing& standing) {
    std::vector<std::string> hand_overs;
    for (const HandOver& one : standing.hand_overs) {
        hand_overs.push_back(to_json(one));
    }
    const Json json{{"trusted", standing.trusted}, {"hand_overs", hand_overs}};
    // What the log refuses is known at once. Where storage answers later, the answer finds nobody here: the platform
    // tells the person of a save that failed.
    const auto saved = std::make_shared<Outcome>(Done{});
    store.save_setting(standing_key, json.dump(-1, ' ', false, Json::error_handler_t::replace),
                       [saved](const Outcome& outcome) { *saved = outcome; });
    return *saved;
}

Result<LogSlice> slice_of(const Store& store) {
    const auto entries = store.entries();
    return entries ? slice_of(*entries) : Result<LogSlice>(entries.error());
}

Result<Bytes> sealed_site(const Store& store, const std::string& site_id, const DeviceKey& key) {
    const auto entries = store.entries_of_site(site_id);
    return entries ? sealed_slice(slice_of(*entries), key) : Result<Bytes>(entries.error());
}

Result<Bytes> sealed_visit(const Store& store, const std::string& visit_id, const DeviceKey& key) {
    const auto entries = store.entries_of_visit(visit_id);
    return entries ? sealed_slice(slice_of(*entries), key) : Result<Bytes>(entries.error());
}

Outcome note_offer(Store& store, ByteView sealed, const SiteRow& site, Instant now) {
    Result<Standing> standing = read_standing(store);
    if (!standing)
        return standing.error();
    const std::string name = hex(digest_of(sealed));
    for (const HandOver& one : standing->hand_overs) {
        if (one.bundle == name)
            return Done{};
    }
    standing->hand_overs.push_back({name, site.id, site.site.name, Stage::offered, now, ""});
    return save_standing(store, *standing);
}

Result<Bytes> take_in(Store& store, const Sealed& sealed, const LogSlice& offered, const Preview& shown,
                      const DeviceKey& key, Instant now) {
    if (const auto arrived = store.take_in(entries_of(offered)); !arrived)
        return arrived.error();
    const Result<LogSlice> log = slice_of(store);
    if (!log)
        return log.error();
    if (digest_of(*log) != shown.digest)
        return Problem{"bundle", "The log is not what was shown before it was taken in.",
                       "Keep the file and ask for help."};
    Result<Standing> standing = read_standing(store);
    if (!standing)
        return standing.error();
    const std::string name = hex(sealed.name);
    auto& all = standing->hand_overs;
    all.erase(std::remove_if(all.begin(), all.end(),
                             [&](const HandOver& one) { return one.bundle == name && one.stage == Stage::received; }),
              all.end());
    for (const SiteView& site : sites_of(offered)) {
        all.push_back({name, site.id, site.site.name, Stage::received, now, fingerprint(sealed.signer)});
    }
    if (const Outcome saved = save_standing(store, *standing); !saved)
        return saved.error();
    const Receipt receipt{sealed.name, digest_of(offered), offered.entries.size(), now, ""};
    return seal(Content::receipt, write_receipt(receipt), key);
}

Result<HandOver> take_receipt(Store& store, const Sealed& sealed, const PublicKey& own) {
    const Result<Receipt> receipt = read_receipt(sealed.inside);
    if (!receipt)
        return receipt.error();
    Result<Standing> standing = read_standing(store);
    if (!standing)
        return standing.error();
    for (HandOver& one : standing->hand_overs) {
        const HandOver answered = with_receipt(one, *receipt, sealed.signer, own);
        if (answered.stage == one.stage)
            continue;
        one = answered;
        const Outcome saved = save_standing(store, *standing);
        return saved ? Result<HandOver>(answered) : Result<HandOver>(saved.error());
    }
    return Problem{"receipt", "This receipt answers no open hand-over of this log.", ""};
}

} // namespace beckhand::bundle
