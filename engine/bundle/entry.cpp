#include "engine/bundle/entry.h"

namespace beckhand::bundle {

Digest LogSlice::add(LogEntry entry) {
    const Digest name = entry.hash = hash_of(entry);
    entries.emplace(name, std::move(entry));
    return name;
}

LogSlice slice_of(const std::vector<LogEntry>& entries) {
    LogSlice slice;
    for (const LogEntry& entry : entries) {
        slice.entries.emplace(entry.hash, entry);
    }
    return slice;
}

std::vector<LogEntry> entries_of(const LogSlice& slice) {
    std::vector<LogEntry> entries;
    for (const auto& [name, entry] : slice.entries) {
        entries.push_back(entry);
    }
    return entries;
}

Digest digest_of(const LogSlice& slice) {
    Bytes all;
    for (const auto& [name, entry] : slice.entries) {
        all.insert(all.end(), name.begin(), name.end());
        all.push_back(static_cast<std::uint8_t>((entry.by_erased ? 1 : 0) | (entry.json_erased ? 2 : 0)));
    }
    return digest_of(all);
}

About about(const LogEntry& entry) {
    return entry.kind == site_sheet_kind ? About::site : entry.kind == erase_wish_kind ? About::person : About::visit;
}

} // namespace beckhand::bundle
