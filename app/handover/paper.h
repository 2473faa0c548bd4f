// A sheet of paper being written from top to bottom: a PDF by libHaru with words, boxes and lines that wrap and
// go on to the next page by themselves. Only the brief uses it. Points (1/72 inch), y counted upwards.
#pragma once

#include <memory>
#include <string>

#include <hpdf.h>

#include "engine/problem.h"

namespace beckhand {

enum class Letters { regular, bold };

class Paper {
public:
    Paper(bool us_letter, double letter_pt, int most_pages);
    Paper(const Paper&) = delete;
    Paper& operator=(const Paper&) = delete;
    ~Paper();

    /// Words across the width that is left after `indent`, wrapped; the rest of a paragraph that does not fit
    /// goes on to the next page. `times`: letter size against that of the body.
    void words(const std::string& text, Letters letters = Letters::regular, double times = 1.0, double indent = 0.0);
    /// A short bold word in a column at the left, and the text beside it.
    void tagged(const std::string& tag, const std::string& text, const std::string& below = {});
    /// An empty box to tick, and the text beside it, which runs on from its bold head.
    void box(const std::string& head, const std::string& text);
    /// White words on a black bar, for what must not be overlooked; a heading with a line under it.
    void bar(const std::string& text);
    void heading(const std::string& text);
    /// A dotted line to write on, after these words.
    void write_here(const std::string& text);
    void space(double times);
    /// Room of this height kept together; the caller draws in it. The lower edge, and the page to draw on.
    [[nodiscard]] double room(double height);
    /// A page break where less than this many lines are left, so that a heading does not stand alone.
    void keep_together(double lines);

    [[nodiscard]] HPDF_Page page() const { return page_; }
    [[nodiscard]] double left() const;
    [[nodiscard]] double width() const;
    [[nodiscard]] double letter() const { return letter_; }
    [[nodiscard]] int pages() const { return pages_; }
    /// More came than the pages hold.
    [[nodiscard]] bool full() const { return full_; }
    [[nodiscard]] HPDF_Font font(Letters letters) const { return letters == Letters::bold ? bold_ : regular_; }
    void put(double x, double y, const std::string& text, Letters letters, double size) const;
    [[nodiscard]] double width_of(const std::string& text, Letters letters, double size) const;

    /// `foot` at the bottom of each page, with its number.
    [[nodiscard]] Result<std::string> finished(const std::string& foot, const std::string& title);

private:
    void next_page();
    void need(double height);
    /// `run_in`: width at the end of the line above on which these words begin; 0: on a line of their own.
    void lines(const std::string& text, Letters letters, double size, double indent, double run_in = 0.0);

    HPDF_Doc doc_ = nullptr;
    HPDF_Page page_ = nullptr;
    HPDF_Font regular_ = nullptr, bold_ = nullptr;
    bool us_letter_;
    double letter_, y_ = 0;
    int most_pages_, pages_ = 0;
    bool full_ = false;
};

} // namespace beckhand
