#include "platform/desktop/given_files.h"

#include <filesystem>

#include "engine/bundle/export.h"
#include "platform/desktop/second_folder.h"

namespace beckhand {

Outcome write_export(const bundle::LogSlice& log, const std::string& folder,
                     const std::function<void(const std::string& path)>& written) {
    std::error_code error;
    std::filesystem::create_directories(folder, error);
    for (const bundle::ExportFile& file : export_all(log)) {
        const std::string path = (std::filesystem::path(folder) / file.name).string();
        if (Outcome done = write_whole(path, bundle::view(file.text)); !done) return done;
        written(path);
    }
    return Done{};
}

Result<bundle::Bytes> write_hand_over(Store& store, const SiteRow& site, const bundle::DeviceKey& key,
                                      const std::string& file, Instant now) {
    Result<bundle::Bytes> sealed = bundle::sealed_site(store, site.id, key);
    if (!sealed) return sealed;
    if (const Outcome written = write_whole(file, *sealed); !written) return written.error();
    if (const Outcome noted = bundle::note_offer(store, *sealed, site, now); !noted) return noted.error();
    return sealed;
}

} // namespace beckhand
