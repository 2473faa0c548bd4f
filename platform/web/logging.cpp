// The program's own log is the browser's console here.
#include "platform/desktop/logging.h"

#include <emscripten/console.h>

#include <string>

namespace beckhand {

void start_logging(const std::string&) {}
void log_line(std::string_view line) { emscripten_console_log(std::string(line).c_str()); }
void log_trouble(std::string_view line) { emscripten_console_error(std::string(line).c_str()); }

} // namespace beckhand
