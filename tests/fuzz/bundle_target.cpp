// Everything of a bundle that reads what came from outside. The first byte says which: the sealed whole;
// the inside as if its signature had been good, for nothing behind a signature is ever reached by chance;
// the same sealed by ourselves; frames; a receipt.
#include "tests/fuzz/targets.h"

#include <algorithm>

#include "engine/bundle/frames.h"
#include "engine/bundle/preview.h"
#include "engine/bundle/receipt.h"
#include "engine/bundle/slice_cbor.h"

namespace beckhand::fuzz {
namespace {

using namespace bundle;

bool same(Bytes one, Bytes other) { return std::equal(one.begin(), one.end(), other.begin(), other.end()); }

void sealed(Bytes bytes) {
    const Result<Sealed> opened = unseal(bytes);
    must(opened || !opened.error().what.empty(), "a refused bundle says why");
}

void inside(Bytes bytes) {
    const Result<LogSlice> slice = read_slice(bytes);
    if (!slice) {
        must(!slice.error().what.empty(), "a refused inside says why");
        return;
    }
    const auto again = write_slice(*slice);
    must(again && same(*again, bytes), "what was read is written the same");
    must(digest_of(merge(*slice, *slice)) == digest_of(merge(*slice, LogSlice{})), "merging is idempotent");
    const Preview shown = preview(LogSlice{}, *slice, Instant{0});
    must(shown.digest == digest_of(merge(LogSlice{}, *slice)), "what is shown is what comes");
    must(!sentences(shown).empty(), "a preview says something");
}

void sealed_by_us(Bytes bytes) {
    static const DeviceKey key = device_key(std::array<std::uint8_t, 32>{1});
    const auto bundle = seal(Content::log, bytes, key);
    if (!bundle)
        return;
    const Result<Sealed> opened = unseal(*bundle);
    must(opened && same(opened->inside, bytes), "what was sealed is opened the same");
}

void frames(Bytes bytes) {
    FrameCollector collector;
    while (!bytes.empty()) {
        const std::size_t size = std::min<std::size_t>(bytes[0], bytes.size() - 1);
        collector.take(bytes.subspan(1, size));
        bytes = bytes.subspan(1 + size);
    }
    must(collector.have() <= collector.parts(), "no more parts than there are");
    (void)collector.bundle();
}

void receipt(Bytes bytes) {
    const Result<Receipt> read = read_receipt(bytes);
    if (read)
        must(same(write_receipt(*read), bytes), "a receipt that was read is written the same");
}

} // namespace

void bundle(Bytes bytes) {
    if (bytes.empty())
        return;
    const std::uint8_t which = bytes[0];
    const Bytes rest = bytes.subspan(1);
    switch (which) {
    case 'i': return inside(rest);
    case 'o': return sealed_by_us(rest);
    case 'f': return frames(rest);
    case 'r': return receipt(rest);
    default: return sealed(bytes); // a whole bundle begins with its own "B"
    }
}

} // namespace beckhand::fuzz
