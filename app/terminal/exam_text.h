// The report of an exam for a terminal, every figure beside what it should reach; or as JSON.
#pragma once

#include <string>

#include "engine/diagnosis/exam.h"

namespace beckhand {

[[nodiscard]] std::string exam_text(const Pack&, const ExamReport&);
[[nodiscard]] std::string exam_json(const Pack&, const ExamReport&);

} // namespace beckhand
