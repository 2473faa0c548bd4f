// Copies and hand-overs as files of the device, and what came by camera: the same bundles as on the desktop, for the
// page's sheet. What a call says goes back as JSON.
#include <optional>
#include <string>
#include <utility>

#include <emscripten/emscripten.h>
#include <nlohmann/json.hpp>

#include "engine/bundle/frames.h"
#include "engine/bundle/hand_over.h"
#include "engine/bundle/slice_cbor.h"
#include "platform/web/exchange.h"
#include "platform/web/program.h"

namespace beckhand {
namespace {

using Json = nlohmann::json;

struct Offered {
    bundle::Sealed sealed;
    bundle::LogSlice slice;
    bundle::Preview shown;
};
std::optional<Offered> offered;
std::optional<bundle::FrameCollector> collector;
bundle::Bytes given;     // what the page fetches next

const char* said(const Json& json) {
    static std::string text;
    text = json.dump(-1, ' ', false, Json::error_handler_t::replace);
    return text.c_str();
}

const char* said(const Problem& problem) { return said(Json{{"trouble", problem.sentence()}}); }

const char* given_as(const std::string& name, Result<bundle::Bytes> bytes) {
    if (!bytes) return said(bytes.error());
    given = std::move(*bytes);
    return said(Json{{"name", name}, {"bytes", given.size()}});
}

Result<bundle::Bytes> whole_log(Session& session) {
    const auto key = session.key();
    if (!key) return key.error();
    const auto log = bundle::slice_of(session.store());
    if (!log) return log.error();
    const auto inside = bundle::write_slice(*log);
    return inside ? bundle::seal(bundle::Content::log, *inside, *key) : Result<bundle::Bytes>(inside.error());
}

Result<bundle::Bytes> site_with_visits(Session& session, const SiteRow& site) {
    const auto key = session.key();
    auto sealed = key ? bundle::sealed_site(session.store(), site.id, *key) : Result<bundle::Bytes>(key.error());
    if (!sealed) return sealed;
    const Outcome noted = bundle::note_offer(session.store(), *sealed, site, clock_now());
    return noted ? std::move(sealed) : Result<bundle::Bytes>(noted.error());
}

Json words_for(const bundle::Sealed& sealed, const bundle::DeviceKey& own, const std::vector<std::string>& lines) {
    return Json{{"signer", bundle::fingerprint(sealed.signer)}, {"own", sealed.signer == own.open}, {"lines", lines}};
}

const char* look_at(bundle::ByteView bytes) {
    Session& session = *program().session;
    offered.reset();
    const auto key = session.key();
    if (!key) return said(key.error());
    auto sealed = bundle::unseal(bytes);
    if (!sealed) return said(sealed.error());
    if (sealed->content == bundle::Content::pack) {
        return said(Problem{"", "This is a pack, and no part of a log.", "Take it with the program for Linux."});
    }
    if (sealed->content == bundle::Content::receipt) {
        const auto answered = bundle::take_receipt(session.store(), *sealed, key->open);
        if (!answered) return said(answered.error());
        session.app().reload();
        return said(Json{{"receipt", true}, {"lines", {sentence(*answered)}}});
    }
    auto slice = bundle::read_slice(sealed->inside);
    if (!slice) return said(slice.error());
    const auto log = bundle::slice_of(session.store());
    if (!log) return said(log.error());
    const bundle::Preview shown = preview(*log, *slice, clock_now());
    const Json words = words_for(*sealed, *key, sentences(shown));
    offered = Offered{std::move(*sealed), std::move(*slice), shown};
    return said(words);
}

} // namespace

const char* scanned(bundle::ByteView frame) {
    if (!collector) collector.emplace();
    if (collector->take(frame) == bundle::FrameCollector::Took::of_another) {
        collector.emplace();
        collector->take(frame);
    }
    const auto whole = collector->bundle();
    if (!whole) return said(Json{{"have", collector->have()}, {"parts", collector->parts()}});
    collector.reset();
    return look_at(*whole);
}

} // namespace beckhand

using namespace beckhand;

extern "C" {

/// The sites by id and name, and this device's digits.
EMSCRIPTEN_KEEPALIVE const char* beckhand_sites() {
    Session& session = *program().session;
    Json sites = Json::array();
    for (const SiteRow& row : session.app().state().sites) sites.push_back({{"id", row.id}, {"name", row.site.name}});
    const auto key = session.key();
    return said(Json{{"sites", sites}, {"device", key ? bundle::fingerprint(key->open) : ""}});
}

/// Seals the whole log, or where a site is named that with its visits, noted as offered; `beckhand_given` has it then.
EMSCRIPTEN_KEEPALIVE const char* beckhand_seal(const char* site_id) {
    Session& session = *program().session;
    if (*site_id == '\0') return given_as("beckhand-log.bundle", whole_log(session));
    const SiteRow* const site = find_site(session.app().state(), site_id);
    if (site == nullptr) return said(Problem{"", "This site is not in the log.", "Go back to the list of sites."});
    std::string name;
    for (const char c : site->site.name) name += (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ? c : '_';
    return given_as(name + ".bundle", site_with_visits(session, *site));
}

EMSCRIPTEN_KEEPALIVE const std::uint8_t* beckhand_given() { return given.data(); }

/// Says what taking in a bundle would change; takes a receipt at once.
EMSCRIPTEN_KEEPALIVE const char* beckhand_look_at(const std::uint8_t* bytes, int size) {
    return look_at({bytes, static_cast<std::size_t>(size)});
}

/// Takes in what was looked at; `beckhand_given` then has the receipt.
EMSCRIPTEN_KEEPALIVE const char* beckhand_take_in() {
    Session& session = *program().session;
    if (!offered) return said(Problem{"", "There is nothing to take in.", "Choose the file again."});
    const auto key = session.key();
    if (!key) return said(key.error());
    auto receipt = bundle::take_in(session.store(), offered->sealed, offered->slice, offered->shown, *key, clock_now());
    offered.reset();
    session.app().reload();
    return given_as("beckhand.receipt", std::move(receipt));
}

/// Digest of the whole log, as hex and as digits: two logs that hold the same have the same.
EMSCRIPTEN_KEEPALIVE const char* beckhand_digest() {
    const auto log = bundle::slice_of(program().session->store());
    if (!log) return said(log.error());
    const bundle::Digest digest = bundle::digest_of(*log);
    return said(Json{{"digest", bundle::hex(digest)}, {"digits", bundle::fingerprint(digest)}, {"entries", log->entries.size()}});
}
}
