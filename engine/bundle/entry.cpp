#include "engine/bundle/entry.h"

#include <algorithm>

#include "engine/bundle/cbor.h"

namespace beckhand::bundle {

Digest mark_of(std::string_view text, std::string_view salt) {
    Cbor both = Cbor::array();
    both.push_back(cbor_bytes(view(salt)));
    both.push_back(cbor_bytes(view(text)));
    return digest_of(to_cbor(both));
}

std::string person_mark(std::string_view name) {
    return hex(mark_of(name, "person"));
}

Digest name_of(const Entry& entry) {
    std::vector<Digest> after = entry.after;
    std::sort(after.begin(), after.end());
    Cbor all = Cbor::array();
    all.push_back(static_cast<std::uint64_t>(entry.about));
    all.push_back(entry.id);
    all.push_back(entry.field);
    all.push_back(entry.place);
    all.push_back(entry.device);
    all.push_back(entry.number);
    all.push_back(entry.at.ms);
    Cbor before = Cbor::array();
    for (const Digest& one : after) {
        before.push_back(cbor_bytes(one));
    }
    all.push_back(std::move(before));
    all.push_back(cbor_bytes(entry.by_erased ? *entry.by_erased : mark_of(entry.by, entry.by_salt)));
    all.push_back(cbor_bytes(entry.json_erased ? *entry.json_erased : mark_of(entry.json, entry.json_salt)));
    return digest_of(to_cbor(all));
}

Digest LogSlice::add(Entry entry) {
    const Digest name = name_of(entry);
    entries.emplace(name, std::move(entry));
    return name;
}

Digest digest_of(const LogSlice& slice) {
    Bytes all;
    for (const auto& [name, entry] : slice.entries) {
        all.insert(all.end(), name.begin(), name.end());
        all.push_back(static_cast<std::uint8_t>((entry.by_erased ? 1 : 0) | (entry.json_erased ? 2 : 0)));
    }
    return digest_of(all);
}

} // namespace beckhand::bundle
