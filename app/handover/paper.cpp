#include "app/handover/paper.h"

#include <algorithm>
#include <new>
#include <vector>

#include "app/handover/brief_pdf.h"

namespace beckhand {
namespace {

constexpr double margin = 42, foot_room = 24; // 15 mm: what every printer reaches
constexpr double line_step = 1.28;

float f(double number) { return static_cast<float>(number); } // libHaru counts in floats

struct Special {
    unsigned code;
    unsigned char letter;
};
// The letters of Windows-1252 that are not at their Unicode place (Unicode Consortium, CP1252.TXT), and two
// that have a near neighbour there.
constexpr Special specials[] = {
    {0x20ac, 0x80}, {0x201a, 0x82}, {0x0192, 0x83}, {0x201e, 0x84}, {0x2026, 0x85}, {0x2020, 0x86}, {0x2021, 0x87},
    {0x02c6, 0x88}, {0x2030, 0x89}, {0x0160, 0x8a}, {0x2039, 0x8b}, {0x0152, 0x8c}, {0x017d, 0x8e}, {0x2018, 0x91},
    {0x2019, 0x92}, {0x201c, 0x93}, {0x201d, 0x94}, {0x2022, 0x95}, {0x2013, 0x96}, {0x2014, 0x97}, {0x02dc, 0x98},
    {0x2122, 0x99}, {0x0161, 0x9a}, {0x203a, 0x9b}, {0x0153, 0x9c}, {0x017e, 0x9e}, {0x0178, 0x9f}, {0x2212, 0x96},
    {0x2009, 0x20},
};

char letter_of(unsigned code) {
    if (code == '\n' || code == '\t') return ' ';
    if (code >= 0x20 && code < 0x7f) return static_cast<char>(code);
    if (code >= 0xa0 && code <= 0xff) return static_cast<char>(static_cast<unsigned char>(code));
    for (const Special& special : specials) {
        if (special.code == code) return static_cast<char>(special.letter);
    }
    return '?';
}

// libHaru does not outlive every allocation that fails under way: so it gets all it needs in one piece before it begins
// (two full pages take 67 kB of it). That piece comes from where all of the program's memory does.
constexpr HPDF_UINT memory_for_all = 1'000'000;
void* HPDF_STDCALL taken(HPDF_UINT size) { return ::operator new(size, std::nothrow); }
void HPDF_STDCALL given_back(void* memory) { ::operator delete(memory); }

} // namespace

std::string paper_letters(const std::string& utf8) {
    std::string letters;
    for (std::size_t i = 0; i < utf8.size();) {
        const unsigned first = static_cast<unsigned char>(utf8[i]);
        const std::size_t more = first < 0x80 ? 0 : first >= 0xf0 ? 3 : first >= 0xe0 ? 2 : first >= 0xc0 ? 1 : 0;
        unsigned code = more == 0 ? first : first & (0x3fU >> more);
        if (first >= 0x80 && more == 0) code = 0xfffd; // not the first byte of a letter
        for (std::size_t k = 1; k <= more; ++k) {
            const unsigned next = i + k < utf8.size() ? static_cast<unsigned char>(utf8[i + k]) : 0;
            code = (next & 0xc0U) == 0x80 ? (code << 6) | (next & 0x3fU) : 0xfffdU;
        }
        letters += letter_of(code);
        i += 1 + more;
    }
    return letters;
}

Paper::Paper(bool us_letter, double letter_pt, int most_pages)
    : us_letter_(us_letter), letter_(letter_pt), most_pages_(most_pages) {
    // Without an error handler libHaru keeps the first error, and everything after it does nothing.
    doc_ = HPDF_NewEx(nullptr, taken, given_back, memory_for_all, nullptr);
    if (doc_ == nullptr) return;
    HPDF_SetCompressionMode(doc_, HPDF_COMP_NONE);
    regular_ = HPDF_GetFont(doc_, "Helvetica", "WinAnsiEncoding");
    bold_ = HPDF_GetFont(doc_, "Helvetica-Bold", "WinAnsiEncoding");
    next_page();
}

Paper::~Paper() {
    if (doc_ != nullptr) HPDF_Free(doc_);
}

void Paper::next_page() {
    if (pages_ == most_pages_) {
        full_ = true;
        return;
    }
    page_ = HPDF_AddPage(doc_);
    HPDF_Page_SetSize(page_, us_letter_ ? HPDF_PAGE_SIZE_LETTER : HPDF_PAGE_SIZE_A4, HPDF_PAGE_PORTRAIT);
    y_ = static_cast<double>(HPDF_Page_GetHeight(page_)) - margin;
    ++pages_;
}

double Paper::left() const { return margin; }
double Paper::width() const { return static_cast<double>(HPDF_Page_GetWidth(page_)) - 2 * margin; }

void Paper::need(double height) {
    if (y_ - height < margin + foot_room) next_page();
}

void Paper::put(double x, double y, const std::string& text, Letters letters, double size) const {
    if (full_) return;
    HPDF_Page_BeginText(page_);
    HPDF_Page_SetFontAndSize(page_, font(letters), f(size));
    HPDF_Page_TextOut(page_, f(x), f(y), paper_letters(text).c_str());
    HPDF_Page_EndText(page_);
}

double Paper::width_of(const std::string& text, Letters letters, double size) const {
    const std::string sure = paper_letters(text);
    const HPDF_TextWidth width =
        HPDF_Font_TextWidth(font(letters), reinterpret_cast<const HPDF_BYTE*>(sure.c_str()), static_cast<HPDF_UINT>(sure.size()));
    return width.width * size / 1000.0;
}

void Paper::lines(const std::string& text, Letters letters, double size, double indent, double run_in) {
    double used = run_in;
    double most = width() - indent - used;
    std::string line;
    const auto flush = [&] {
        if (line.empty() && used <= 0) return;
        if (used <= 0) {
            need(size * line_step);
            y_ -= size * line_step;
        }
        if (!line.empty()) put(margin + indent + used, y_ + 0.25 * size, line, letters, size);
        line.clear();
        used = 0;
        most = width() - indent;
    };
    for (std::size_t from = 0; from < text.size();) {
        std::size_t to = text.find_first_of(" \n", from);
        if (to == std::string::npos) to = text.size();
        std::string word = text.substr(from, to - from);
        from = to + 1;
        if (word.empty()) continue;
        const std::string longer = line.empty() ? word : line + " " + word;
        if ((!line.empty() || used > 0) && width_of(longer, letters, size) > most) flush();
        // A word wider than the sheet is broken where the sheet ends.
        while (width_of(word, letters, size) > most && word.size() > 1) {
            std::size_t keep = word.size() - 1;
            while (keep > 1 && width_of(word.substr(0, keep), letters, size) > most) --keep;
            while (keep > 1 && (static_cast<unsigned char>(word[keep]) & 0xc0U) == 0x80) --keep; // whole letters
            line = word.substr(0, keep);
            flush();
            word.erase(0, keep);
        }
        line += (line.empty() ? "" : " ") + word;
    }
    flush();
}

void Paper::words(const std::string& text, Letters letters, double times, double indent) {
    lines(text, letters, letter_ * times, indent);
}

void Paper::tagged(const std::string& tag, const std::string& text, const std::string& below) {
    const double column = 4.6 * letter_;
    need(letter_ * line_step);
    put(margin, y_ - letter_ * line_step + 0.25 * letter_, tag, Letters::bold, 0.9 * letter_);
    lines(below.empty() ? text : text + " (" + below + ")", Letters::regular, letter_, column);
    y_ -= 0.15 * letter_;
}

void Paper::box(const std::string& head, const std::string& text) {
    const double side = 0.95 * letter_, column = 1.9 * letter_;
    need(2 * letter_ * line_step);
    if (!full_) {
        HPDF_Page_SetLineWidth(page_, 1.0f);
        HPDF_Page_Rectangle(page_, f(margin + 0.5), f(y_ - letter_ * line_step + 0.15 * letter_), f(side), f(side));
        HPDF_Page_Stroke(page_);
    }
    lines(head, Letters::bold, letter_, column);
    const double head_width = width_of(head + "  ", Letters::bold, letter_);
    const bool runs_on = !head.empty() && head_width < 0.7 * (width() - column);
    if (!text.empty()) lines(text, Letters::regular, letter_, column, runs_on ? head_width : 0.0);
    y_ -= 0.25 * letter_;
}

void Paper::bar(const std::string& text) {
    const double height = 1.7 * letter_;
    need(height + 3.5 * letter_);
    y_ -= height + 0.4 * letter_;
    if (full_) return;
    HPDF_Page_SetRGBFill(page_, 0, 0, 0);
    HPDF_Page_Rectangle(page_, f(margin), f(y_), f(width()), f(height));
    HPDF_Page_Fill(page_);
    HPDF_Page_SetRGBFill(page_, 1, 1, 1);
    put(margin + 0.5 * letter_, y_ + 0.5 * letter_, text, Letters::bold, 1.1 * letter_);
    HPDF_Page_SetRGBFill(page_, 0, 0, 0);
    y_ -= 0.35 * letter_;
}

void Paper::heading(const std::string& text) {
    need(4.5 * letter_);
    y_ -= 0.55 * letter_;
    lines(text, Letters::bold, 1.2 * letter_, 0);
    if (full_) return;
    HPDF_Page_SetLineWidth(page_, 0.8f);
    HPDF_Page_MoveTo(page_, f(margin), f(y_ - 0.05 * letter_));
    HPDF_Page_LineTo(page_, f(margin + width()), f(y_ - 0.05 * letter_));
    HPDF_Page_Stroke(page_);
    y_ -= 0.3 * letter_;
}

void Paper::write_here(const std::string& text) {
    const double height = 2.0 * letter_;
    need(height);
    y_ -= height;
    if (full_) return;
    put(margin, y_ + 0.3 * letter_, text, Letters::regular, letter_);
    const double from = margin + width_of(text, Letters::regular, letter_) + 0.5 * letter_;
    if (from > margin + width() - 60) return;
    HPDF_Page_SetLineWidth(page_, 0.6f);
    HPDF_Page_MoveTo(page_, f(from), f(y_ + 0.1 * letter_));
    HPDF_Page_LineTo(page_, f(margin + width()), f(y_ + 0.1 * letter_));
    HPDF_Page_Stroke(page_);
}

void Paper::space(double times) { y_ -= times * letter_; }

double Paper::room(double height) {
    need(height);
    y_ -= height;
    return y_;
}

void Paper::keep_together(double count) { need(count * letter_ * line_step); }

Result<std::string> Paper::finished(const std::string& foot, const std::string& title) {
    const Problem failed{"paper", "The paper could not be made.", "Close other programs and try again."};
    if (doc_ == nullptr) return failed;
    full_ = false; // the feet stand below what was full
    for (int i = 0; i < pages_; ++i) {
        page_ = HPDF_GetPageByIndex(doc_, static_cast<HPDF_UINT>(i));
        const std::string place = "Page " + std::to_string(i + 1) + " of " + std::to_string(pages_);
        put(margin, margin - 6, foot, Letters::regular, 8.5);
        put(margin + width() - width_of(place, Letters::bold, 8.5), margin - 6, place, Letters::bold, 8.5);
    }
    HPDF_SetInfoAttr(doc_, HPDF_INFO_TITLE, paper_letters(title).c_str());
    if (HPDF_SaveToStream(doc_) != HPDF_OK || HPDF_GetError(doc_) != HPDF_OK) return failed;
    std::string bytes(HPDF_GetStreamSize(doc_), '\0');
    HPDF_UINT32 size = static_cast<HPDF_UINT32>(bytes.size());
    HPDF_ResetStream(doc_);
    HPDF_ReadFromStream(doc_, reinterpret_cast<HPDF_BYTE*>(bytes.data()), &size);
    bytes.resize(size);
    return bytes;
}

} // namespace beckhand
