// The brief on paper: at most two pages, cautions first, boxes to tick, the read-back at the end to be filled in
// by hand where there is no screen. A4 in metric units, US Letter in US ones.
#pragma once

#include <string>

#include "app/handover/brief.h"

namespace beckhand {

inline constexpr int most_paper_pages = 2;

struct BriefPaper {
    std::string bytes;     // a PDF file; its text is not compressed, so that any tool can look into it
    int pages = 0;
    double letter_pt = 0;  // size of the body letters that it took to fit
    bool cut = false;      // something of the last sections did not fit and says so
};

/// Letters that the paper's fonts do not have (outside Windows-1252) come out as "?". Letters are made smaller
/// until all fits; where the smallest are not enough, the last sections are cut and the paper says so. Fails
/// only where the file cannot be made, for want of memory.
[[nodiscard]] Result<BriefPaper> brief_paper(const Brief& brief, const Site& site);

/// UTF-8 to Windows-1252, the letters of the paper's fonts.
[[nodiscard]] std::string paper_letters(const std::string& utf8);

} // namespace beckhand
