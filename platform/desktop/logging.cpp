#include "platform/desktop/logging.h"

#include <exception>
#include <memory>

#include <spdlog/sinks/null_sink.h>
#include <spdlog/sinks/rotating_file_sink.h>
#include <spdlog/spdlog.h>

namespace beckhand {

namespace {

constexpr std::size_t file_bytes = 512 * 1024;
constexpr std::size_t older_files = 2;

std::shared_ptr<spdlog::logger> make_logger(const std::string& folder) {
    try {
        const auto sink = std::make_shared<spdlog::sinks::rotating_file_sink_mt>(folder + "/program.log",
                                                                                 file_bytes, older_files);
        return std::make_shared<spdlog::logger>("beckhand", sink);
    } catch (const std::exception&) {
        return std::make_shared<spdlog::logger>("beckhand", std::make_shared<spdlog::sinks::null_sink_mt>());
    }
}

} // namespace

void start_logging(const std::string& folder) {
    const std::shared_ptr<spdlog::logger> logger = make_logger(folder);
    logger->set_error_handler([](const std::string&) {}); // a full disk is the store's to report
    logger->set_pattern("%Y-%m-%dT%H:%M:%S.%e %l %v");
    logger->flush_on(spdlog::level::warn);
    spdlog::set_default_logger(logger);
    logger->info("started");
}

// Until start_logging the default logger would write to the terminal, which belongs to the person.
void log_line(std::string_view line) {
    if (spdlog::default_logger()->name() == "beckhand") {
        spdlog::info("{}", line);
    }
}

void log_trouble(std::string_view line) {
    if (spdlog::default_logger()->name() == "beckhand") {
        spdlog::error("{}", line);
    }
}

} // namespace beckhand
