// What stands on the paper, and in which order; how words become marks on it is paper.cpp's.
#include "app/handover/brief_pdf.h"

#include <algorithm>
#include <utility>

#include "app/handover/brief_text.h"
#include "app/handover/paper.h"
#include "app/kit/installation.h"

namespace beckhand {
namespace {

constexpr double sizes[] = {12, 11.5, 11, 10.5, 10, 9.5, 9, 8.5}; // points; the first that fits
constexpr std::size_t longest_free_text = 600;                // letters of one line of a person's own
constexpr double drawing_height = 92;

/// A person may type a page of it; the paper keeps its beginning.
std::string shortened(const std::string& text) {
    if (text.size() <= longest_free_text) return text;
    std::size_t keep = text.rfind(' ', longest_free_text);
    if (keep == std::string::npos) keep = longest_free_text;
    while (keep > 0 && (static_cast<unsigned char>(text[keep]) & 0xc0U) == 0x80) --keep;
    return text.substr(0, keep) + " ... (the rest is in the program)";
}

struct Drawing {
    Paper& paper;
    const kit::Section& section;
    double x, y, w, h;
    [[nodiscard]] float across(kit::Section::Point at) const {
        return static_cast<float>(x + w * (at.x - section.left) / section.width);
    }
    [[nodiscard]] float up(kit::Section::Point at) const {
        return static_cast<float>(y + h * (at.y - section.bottom) / (section.top - section.bottom));
    }
    void along(const std::vector<kit::Section::Point>& points, float width, float grey) const {
        if (points.size() < 2) return;
        HPDF_Page_SetLineWidth(paper.page(), width);
        HPDF_Page_SetGrayStroke(paper.page(), grey);
        HPDF_Page_MoveTo(paper.page(), across(points[0]), up(points[0]));
        for (std::size_t i = 1; i < points.size(); ++i) HPDF_Page_LineTo(paper.page(), across(points[i]), up(points[i]));
        HPDF_Page_Stroke(paper.page());
        HPDF_Page_SetGrayStroke(paper.page(), 0);
    }
};

/// The site in a line or two: pool, drive pipe, pump, delivery pipe, tank, with the heights that are known.
void draw_site(Paper& paper, const Site& site, Units units) {
    const double y = paper.room(drawing_height);
    if (paper.full()) return;
    const kit::Section section = kit::section_of(site);
    const Drawing d{paper, section, paper.left() + 6, y + 14, paper.width() - 12, drawing_height - 24};
    d.along(section.ground, 1.0f, 0.6f);
    d.along(section.delivery_pipe, 1.6f, 0.0f);
    d.along(section.drive_pipe.empty() ? std::vector<kit::Section::Point>{section.intake, section.drive_foot} : section.drive_pipe,
            3.2f, 0.0f);
    d.along({section.drive_foot, section.pump, section.delivery_foot}, 2.0f, 0.0f);
    const auto mark = [&](kit::Section::Point at, double w, double h) {
        HPDF_Page_SetLineWidth(paper.page(), 1.2f);
        HPDF_Page_Rectangle(paper.page(), d.across(at), d.up(at), static_cast<float>(w), static_cast<float>(h));
        HPDF_Page_Stroke(paper.page());
    };
    mark(section.pump, 12, 14);
    mark(section.tank, 20, -12);
    const double size = 8.5;
    std::string words = "Intake";
    const auto add = [&](const char* word, const std::optional<Length>& length) {
        words += std::string("  -  ") + word + (length ? " " + format_length(*length, units) : " not measured");
    };
    add("fall", site.fall);
    add("drive pipe", site.drive_length);
    words += "  -  pump";
    add("delivery pipe", site.delivery_length);
    add("lift", site.lift);
    words += "  -  tank";
    paper.put(paper.left(), y + 2, words, Letters::regular, size);
}

void cautions(Paper& paper, const Brief& brief) {
    paper.bar("DANGERS - read these before anything else");
    for (const BriefCaution& caution : brief.cautions) {
        const std::string head = std::string(caution.stop ? "STOP RULE: " : "") + caution.title +
                                 (caution.holds_now ? " (holds now)" : "") + ".";
        paper.box(head, caution.say + (caution.defer_to.empty() ? "" : " (" + caution.defer_to + ")"));
    }
}

void next_check_lines(Paper& paper, const Brief& brief) {
    const NextCheck& next = brief.next;
    paper.bar("DO NEXT - one thing");
    paper.words(next.what, Letters::bold, 1.15);
    if (const std::string mind = mind_words(brief); !mind.empty()) paper.words("! " + mind);
    if (!next.how.empty()) paper.words(next.how);
    if (!next.why.empty()) paper.words("Why: " + next.why);
    if (const std::string tools = tools_words(next); !tools.empty()) paper.words(tools);
    paper.space(0.3);
    for (const BriefMeaning& meaning : next.results) paper.box(meaning.result + ":", meaning.means);
    if (!next.right.empty()) paper.words("Put right looks like this: " + next.right);
}

void section_lines(Paper& paper, const BriefSection& section) {
    paper.heading(section.heading);
    for (const BriefLine& line : section.lines) {
        const std::string tag(word_of(line.ground));
        if (tag.empty()) paper.box("", shortened(line.text));
        else paper.tagged(tag, shortened(line.text), line.from);
    }
}

void read_back_lines(Paper& paper, const Brief& brief) {
    paper.keep_together(10);
    paper.heading("Read back: the one who takes it over writes this without looking");
    paper.write_here("The first danger, and what to do:");
    paper.write_here(brief.yardstick ? brief.yardstick->name + " that is sound here:" : "How it should run:");
    paper.write_here("The one thing to do next:");
    paper.write_here("Handed over by, to, and when:");
}

/// All of it at this letter size; `full` when it did not fit.
void write_all(Paper& paper, const Brief& brief, const Site& site) {
    paper.words("Handover brief: " + shortened(brief.site), Letters::bold, 1.6);
    paper.words("Known: measured, seen or proved.  Guess: not proved by anybody.", Letters::regular, 0.9);
    paper.space(0.4);
    cautions(paper, brief);
    if (const BriefSection* const way = brief.section("way")) section_lines(paper, *way);
    draw_site(paper, site, brief.units);
    next_check_lines(paper, brief);
    for (const BriefSection& section : brief.sections) {
        const bool later = section.id == "way" || section.id == "known" || section.id == "guessed";
        if (!later) section_lines(paper, section);
    }
    read_back_lines(paper, brief);
    for (const char* const id : {"guessed", "known"}) {
        if (const BriefSection* const section = brief.section(id)) section_lines(paper, *section);
    }
}

} // namespace

Result<BriefPaper> brief_paper(const Brief& brief, const Site& site) {
    const std::string foot = shortened(brief_head(brief));
    const std::string more = ". There is more than fits: read it in the program";
    for (const double& size : sizes) {
        Paper paper(brief.units == Units::us, size, most_paper_pages);
        if (paper.page() == nullptr) return Problem{"paper", "The paper could not be made.", "Close other programs and try again."};
        write_all(paper, brief, site);
        const bool cut = paper.full();
        const bool smallest = &size == std::end(sizes) - 1;
        if (cut && !smallest) continue;
        Result<std::string> bytes = paper.finished(foot + (cut ? more : ""), "Handover brief: " + brief.site);
        if (!bytes) return bytes.error();
        return BriefPaper{std::move(*bytes), paper.pages(), size, cut};
    }
    return Problem{"paper", "The paper could not be made.", ""};
}

} // namespace beckhand
