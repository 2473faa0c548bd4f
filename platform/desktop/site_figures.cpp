#include "platform/desktop/site_figures.h"

#include <istream>
#include <optional>
#include <ostream>
#include <string>

#include "app/figures.h"
#include "app/terminal/visit_said.h"
#include "engine/records/site_fields.h"

namespace beckhand {
namespace {

constexpr const char* take_out = "-";

struct Sheet {
    Site& site;
    Units units;
    std::istream& in;
    std::ostream& out;

    /// What was typed for it; nothing at the end of the input and at a q.
    std::optional<std::string> ask(const std::string& title, const std::string& how, const std::string& now) {
        out << "  " << title << " [" << how << "; " << (now.empty() ? "not known" : "now " + now) << "] " << std::flush;
        std::string line;
        if (!std::getline(in, line)) return std::nullopt;
        line = trimmed(line);
        return small_letters(line) == "q" ? std::nullopt : std::optional(line);
    }

    /// False when that is no figure for it; then it says why.
    bool take(const SiteField& field, const std::string& line) {
        if (line == take_out) {
            field.set_si(site, std::nullopt);
            return true;
        }
        const bool any_sign = figure_of(field) == Figure::temperature;
        const auto value = parse_figure(figure_of(field), line, units, any_sign ? Sign::any : Sign::not_negative);
        if (!value) {
            out << value.error().sentence() << "\n";
            return false;
        }
        const double number = *value / field.si_per_unit;
        if (field_problem(field, number)) { // its own words speak of the file's key and unit
            out << format_figure(figure_of(field), *value, units) << " cannot be right for \"" << title_of(field)
                << "\". It goes from "
                << range_text(figure_of(field), field.least * field.si_per_unit, field.most * field.si_per_unit, units) << ".\n";
            return false;
        }
        set_field_number(field, site, number);
        return true;
    }

    bool take_material(const std::string& line) {
        const auto material = pipe_material(small_letters(line));
        if (material || line == take_out) site.drive_material = material;
        else out << "\"" << line << "\" is not one of them.\n";
        return material.has_value() || line == take_out;
    }
};

} // namespace

bool ask_site_figures(Site& site, Units units, std::istream& in, std::ostream& out) {
    Sheet sheet{site, units, in, out};
    const std::string before = figures_key(site);
    out << "Empty: left as it is.  -: not known any more.  q: enough for now.\n";
    for (const SiteField& field : site_fields()) {
        while (true) {
            const auto si = field.si(site);
            const auto line = sheet.ask(title_of(field), std::string(unit_word(figure_of(field), units)),
                                        si ? format_figure(figure_of(field), *si, units) : "");
            if (!line) return figures_key(site) != before;
            if (line->empty() || sheet.take(field, *line)) break;
        }
    }
    while (true) {
        const std::string now = site.drive_material ? std::string(words_of(*site.drive_material)) : "";
        const auto line = sheet.ask("Drive pipe material", "steel, cast_iron, copper, rigid_plastic, soft_plastic", now);
        if (!line || line->empty() || sheet.take_material(*line)) break;
    }
    return figures_key(site) != before;
}

} // namespace beckhand
