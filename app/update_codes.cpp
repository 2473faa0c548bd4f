// A site is put into codes: sealed with this device's key, noted as offered, and shown.
#include "app/app.h"

#include "engine/bundle/qr.h"

namespace beckhand {
namespace {

constexpr const char* no_key = "This device has no key to sign with, so it cannot hand over.";
constexpr const char* no_key_todo = "Start Beckhand again with a folder that can be written to.";

} // namespace

void App::on(const ShowCodes& what) {
    const SiteRow* const row = find_site(state_, what.site_id);
    if (row == nullptr) return;
    const auto key = services_.key ? services_.key() : Result<bundle::DeviceKey>(Problem{"", no_key, no_key_todo});
    const auto sealed = key ? bundle::sealed_site(*services_.store, row->id, *key) : Result<bundle::Bytes>(key.error());
    auto frames = sealed ? bundle::FrameSource::of(*sealed, bundle::shown_bytes)
                         : Result<bundle::FrameSource>(sealed.error());
    if (!frames) {
        state_.trouble = frames.error();
        return;
    }
    const Instant now = services_.now();
    if (const Outcome noted = bundle::note_offer(*services_.store, *sealed, *row, now); !noted) {
        state_.trouble = noted.error();
        return;
    }
    state_.codes = {row->id, row->site.name, bundle::fingerprint(key->open), sealed->size(), std::move(*frames), now, 0};
    state_.screen = Screen::codes;
    reload();
}

} // namespace beckhand
