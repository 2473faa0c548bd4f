// The assembler copies the files in. The build names them (PACK_FILE, FONT_FOLDER, DEMO_FILE) and rebuilds
// this file when they change.
#include "platform/desktop/embedded.h"

#if !defined(PACK_FILE) || !defined(FONT_FOLDER)
#error "The build must define PACK_FILE and FONT_FOLDER."
#endif

// Two labels around the bytes of a file, in read-only data.
#if defined(__EMSCRIPTEN__)
#define EMBED_SECTION(name) ".section .rodata.beckhand_" #name ",\"\",@\n"
#define EMBED_END(name)                                                                                      \
    ".size beckhand_" #name "_begin, . - beckhand_" #name "_begin\n"                                         \
    ".globl beckhand_" #name "_end\n"                                                                        \
    "beckhand_" #name "_end:\n"                                                                              \
    ".int8 0\n"                                                                                              \
    ".size beckhand_" #name "_end, 1\n"
#else
#define EMBED_SECTION(name) ".section .rodata\n"
#define EMBED_END(name)                                                                                      \
    ".global beckhand_" #name "_end\n"                                                                       \
    "beckhand_" #name "_end:\n"                                                                              \
    ".byte 0\n"                                                                                              \
    ".previous\n"
#endif
#define EMBED(name, path)                                                                                    \
    __asm__(EMBED_SECTION(name) ".globl beckhand_" #name "_begin\n"                                          \
            ".p2align 4\n"                                                                                   \
            "beckhand_" #name "_begin:\n"                                                                    \
            ".incbin \"" path "\"\n" EMBED_END(name));                                                       \
    extern "C" const std::byte beckhand_##name##_begin[];                                                    \
    extern "C" const std::byte beckhand_##name##_end[]

EMBED(pack, PACK_FILE);
EMBED(regular, FONT_FOLDER "/B612-Regular.otf");
EMBED(bold, FONT_FOLDER "/B612-Bold.otf");
#ifdef DEMO_FILE
EMBED(demo, DEMO_FILE);
#endif

namespace beckhand {

namespace {

std::span<const std::byte> between(const std::byte* begin, const std::byte* end) {
    return {begin, static_cast<std::size_t>(end - begin)};
}

} // namespace

std::span<const std::byte> embedded_pack() {
    return between(beckhand_pack_begin, beckhand_pack_end);
}
std::span<const std::byte> embedded_regular() {
    return between(beckhand_regular_begin, beckhand_regular_end);
}
std::span<const std::byte> embedded_bold() {
    return between(beckhand_bold_begin, beckhand_bold_end);
}

std::string_view embedded_demo() {
#ifdef DEMO_FILE
    const std::span<const std::byte> bytes = between(beckhand_demo_begin, beckhand_demo_end);
    return {reinterpret_cast<const char*>(bytes.data()), bytes.size()};
#else
    return {};
#endif
}

} // namespace beckhand
