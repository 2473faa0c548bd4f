#include "platform/desktop/session.h"

#include <algorithm>
#include <chrono>
#include <istream>
#include <ostream>
#include <random>
#include <utility>

#include "app/figures.h"
#include "engine/records/site_fields.h"
#include "platform/desktop/bundle_log.h"
#include "platform/desktop/logging.h"
#include "platform/desktop/paths.h"

namespace beckhand {
namespace {

/// The fields that decide most, in the order in which one walks: asked at a terminal.
constexpr std::array<std::string_view, 8> first_fields{"fall_m",          "lift_m",           "drive_length_m",
                                                       "drive_bore_mm",   "pump_bore_mm",     "delivery_length_m",
                                                       "delivery_bore_mm", "source_flow_lpm"};

/// One figure from a person; true when the field is set or left unknown, false at the end of input.
bool ask_field(const SiteField& field, Units units, Site& site, std::istream& in, std::ostream& out) {
    std::string line;
    while (true) {
        out << "  " << field.words << " [" << unit_word(figure_of(field), units) << "; empty: not known] " << std::flush;
        if (!std::getline(in, line)) return false;
        if (line.empty()) return true;
        const auto value = parse_figure(figure_of(field), line, units, Sign::positive);
        if (!value) {
            out << value.error().sentence() << "\n";
            continue;
        }
        const double number = *value / field.si_per_unit;
        if (const auto wrong = field_problem(field, number)) {
            out << wrong->sentence() << "\n";
            continue;
        }
        set_field_number(field, site, number);
        return true;
    }
}

} // namespace

Instant clock_now() {
    const auto since_1970 = std::chrono::system_clock::now().time_since_epoch();
    return Instant{std::chrono::duration_cast<std::chrono::milliseconds>(since_1970).count()};
}

std::array<std::uint8_t, 16> random_bytes() {
    std::random_device device;
    std::array<std::uint8_t, 16> bytes{};
    for (std::uint8_t& byte : bytes) {
        byte = static_cast<std::uint8_t>(device() & 0xff);
    }
    return bytes;
}

Session::Session(Pack pack, Store store, const Options& options) : pack_(std::move(pack)), store_(std::move(store)) {
    app_ = std::make_unique<App>(pack_, Services{&store_, clock_now, random_bytes});
    app_->start();
    if (!options.units.empty()) {
        app_->act(SetUnits{options.units == "us" ? Units::us : Units::metric});
    }
}

Result<std::unique_ptr<Session>> Session::open(const Options& options) {
    Result<Pack> pack = load_pack(options);
    if (!pack) return pack.error();
    Result<std::string> folder = data_folder(options.data);
    if (!folder) return folder.error();
    start_logging(*folder);
    Result<Store> store = Store::open(*folder + "/" + log_name);
    if (!store) return store.error();
    // A taking in that was cut off; where it still cannot be done, `take-in` says why.
    (void)finish_taking_in(*store, clock_now());
    return std::unique_ptr<Session>(new Session(std::move(*pack), std::move(*store), options));
}

std::optional<std::string> describe_site(Session& session, const std::string& name, std::istream& in,
                                         std::ostream& out) {
    SiteRow row;
    row.id = new_id(random_bytes());
    row.site.name = name;
    for (const SiteField& field : site_fields()) {
        const bool first = std::find(first_fields.begin(), first_fields.end(), field.key) != first_fields.end();
        if (first && !ask_field(field, session.app().state().units, row.site, in, out)) return std::nullopt;
    }
    std::string line;
    while (true) {
        out << "  Drive pipe material [steel, cast_iron, copper, rigid_plastic, soft_plastic; empty: not known] " << std::flush;
        if (!std::getline(in, line)) return std::nullopt;
        row.site.drive_material = pipe_material(line);
        if (line.empty() || row.site.drive_material) break;
        out << "\"" << line << "\" is not one of them.\n";
    }
    Outcome saved = Done{};
    session.store().save_site(row, clock_now(), [&](const Outcome& outcome) { saved = outcome; });
    if (!saved) {
        out << saved.error().sentence() << "\n";
        return std::nullopt;
    }
    session.app().act(ShowSite{row.id});
    return row.id;
}

} // namespace beckhand
