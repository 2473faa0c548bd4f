// compile_pack FOLDER OUT [--notes]: the pack's TOML in FOLDER becomes the pack file OUT.
// Exit code 0: written; 1: the pack has errors, nothing is written; 2: wrong use, or a file cannot be used.
#include <cstdio>
#include <string>
#include <vector>

#include "knowledge/compiler/compile.h"

int main(int argc, char** argv) {
    std::vector<std::string> paths;
    bool with_notes = false;
    for (const std::string& argument : std::vector<std::string>(argv + 1, argv + argc)) {
        if (argument == "--notes") {
            with_notes = true;
        } else {
            paths.push_back(argument);
        }
    }
    if (paths.size() != 2) {
        std::fputs("Use: compile_pack FOLDER OUT [--notes]\n"
                   "FOLDER holds the pack's TOML files, OUT is the pack file to write.\n",
                   stderr);
        return 2;
    }
    const auto files = beckhand::read_folder(paths[0]);
    if (!files) {
        std::fprintf(stderr, "%s\n", files.error().sentence().c_str());
        return 2;
    }
    const beckhand::Compiled compiled = beckhand::compile(*files);
    std::fputs(beckhand::lint_text(compiled.findings, with_notes).c_str(), stderr);
    if (compiled.bytes.empty()) {
        return 1;
    }
    const beckhand::Outcome written = beckhand::write_file(paths[1], compiled.bytes);
    if (!written) {
        std::fprintf(stderr, "%s\n", written.error().sentence().c_str());
        return 2;
    }
    return 0;
}
