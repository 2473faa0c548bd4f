# The libraries for the browser, compiled from Debian's sources into static libraries under the names by which the
# build for Linux knows them. platform/web/start fetches the sources; nothing is fetched here.
# One more C library: its source package in `start`, and one web_library() below.

set(WEB_SOURCES ${CMAKE_SOURCE_DIR}/.sources CACHE PATH "Where platform/web/start unpacks the libraries")
if(NOT EXISTS ${WEB_SOURCES}/sqlite3.c)
  message(FATAL_ERROR "The sources of the libraries are not in ${WEB_SOURCES}. Run platform/web/start, which fetches them.")
endif()
enable_language(C)

# Headers that need no compiling come from Debian's packages, one by one: the rest of /usr/include is not for the browser.
set(WEB_HEADERS ${CMAKE_BINARY_DIR}/headers)
file(MAKE_DIRECTORY ${WEB_HEADERS})
foreach(FOLDER nlohmann toml++ fast_float)
  if(NOT EXISTS /usr/include/${FOLDER})
    message(FATAL_ERROR "/usr/include/${FOLDER} is not there. Run platform/web/start, which installs it.")
  endif()
  file(CREATE_LINK /usr/include/${FOLDER} ${WEB_HEADERS}/${FOLDER} SYMBOLIC)
endforeach()
add_library(web_headers INTERFACE)
target_include_directories(web_headers SYSTEM INTERFACE ${WEB_HEADERS})
add_library(nlohmann_json::nlohmann_json ALIAS web_headers)
add_library(tomlplusplus::tomlplusplus ALIAS web_headers)

# web_library(NAME known as TARGET: SOURCES patterns under WEB_SOURCES, INCLUDE folders for whoever uses it, PRIVATE
# folders for itself, DEFINE for itself)
function(web_library NAME TARGET)
  cmake_parse_arguments(ONE "" "" "SOURCES;INCLUDE;PRIVATE;DEFINE" ${ARGN})
  set(FILES)
  foreach(PATTERN ${ONE_SOURCES})
    file(GLOB FOUND ${WEB_SOURCES}/${PATTERN})
    if(NOT FOUND)
      message(FATAL_ERROR "No ${PATTERN} in ${WEB_SOURCES}. Run platform/web/start, which fetches it.")
    endif()
    list(APPEND FILES ${FOUND})
  endforeach()
  add_library(${NAME} STATIC ${FILES})
  target_compile_options(${NAME} PRIVATE -w)
  target_compile_definitions(${NAME} PRIVATE ${ONE_DEFINE})
  foreach(FOLDER ${ONE_INCLUDE})
    target_include_directories(${NAME} SYSTEM PUBLIC ${WEB_SOURCES}/${FOLDER})
  endforeach()
  foreach(FOLDER ${ONE_PRIVATE})
    target_include_directories(${NAME} PRIVATE ${WEB_SOURCES}/${FOLDER})
  endforeach()
  add_library(${TARGET} ALIAS ${NAME})
endfunction()

web_library(sqlite PkgConfig::SQLITE SOURCES sqlite3.c INCLUDE .
  DEFINE SQLITE_THREADSAFE=0 SQLITE_OMIT_LOAD_EXTENSION SQLITE_OMIT_SHARED_CACHE SQLITE_OMIT_DEPRECATED
         SQLITE_DEFAULT_MEMSTATUS=0)

web_library(sodium PkgConfig::SODIUM
  SOURCES libsodium/src/libsodium/*/*.c libsodium/src/libsodium/*/*/*.c libsodium/src/libsodium/*/*/*/*.c
  INCLUDE libsodium/src/libsodium/include
  PRIVATE libsodium/src/libsodium/include/sodium
  DEFINE CONFIGURED=1 SODIUM_STATIC=1 HAVE_STDINT_H=1 HAVE_INTTYPES_H=1 HAVE_WEAK_SYMBOLS=1)

web_library(zstd PkgConfig::ZSTD
  SOURCES libzstd/lib/common/*.c libzstd/lib/decompress/*.c libzstd/lib/compress/*.c
  INCLUDE libzstd/lib DEFINE ZSTD_DISABLE_ASM=1)

web_library(qrencode PkgConfig::QRENCODE SOURCES qrencode/[bmrqs]*.c INCLUDE qrencode
  DEFINE MAJOR_VERSION=4 MINOR_VERSION=1 MICRO_VERSION=1 VERSION="4.1.1" STATIC_IN_RELEASE=static HAVE_STRDUP=1)
get_target_property(QR_FILES qrencode SOURCES)
list(FILTER QR_FILES EXCLUDE REGEX "/qrenc\\.c$")   # its command line
set_target_properties(qrencode PROPERTIES SOURCES "${QR_FILES}")

web_library(hpdf web::hpdf SOURCES libharu/src/hpdf_*.c INCLUDE libharu/include
  DEFINE LIBHPDF_HAVE_NOPNGLIB HPDF_NOPNGLIB LIBHPDF_HAVE_NOZLIB)
file(WRITE ${CMAKE_BINARY_DIR}/hpdf/hpdf_config.h "#define LIBHPDF_HAVE_NOPNGLIB 1\n#define LIBHPDF_HAVE_NOZLIB 1\n")
target_include_directories(hpdf SYSTEM PUBLIC ${CMAKE_BINARY_DIR}/hpdf)
set(HPDF_LIBRARY web::hpdf)
set(HPDF_INCLUDE ${WEB_SOURCES}/libharu/include)

web_library(imgui PkgConfig::IMGUI SOURCES imgui/imgui.cpp imgui/imgui_draw.cpp imgui/imgui_tables.cpp imgui/imgui_widgets.cpp
  INCLUDE imgui DEFINE IMGUI_DISABLE_DEMO_WINDOWS IMGUI_DISABLE_FILE_FUNCTIONS)

set(SDL libsdl2/src)
web_library(sdl2 PkgConfig::SDL2
  SOURCES ${SDL}/*.c ${SDL}/atomic/*.c ${SDL}/audio/*.c ${SDL}/cpuinfo/*.c ${SDL}/events/*.c ${SDL}/file/*.c
    ${SDL}/filesystem/emscripten/*.c ${SDL}/haptic/*.c ${SDL}/haptic/dummy/*.c ${SDL}/hidapi/*.c ${SDL}/joystick/*.c
    ${SDL}/joystick/dummy/*.c ${SDL}/joystick/emscripten/*.c ${SDL}/libm/*.c ${SDL}/loadso/dlopen/*.c ${SDL}/locale/*.c
    ${SDL}/locale/emscripten/*.c ${SDL}/misc/*.c ${SDL}/misc/emscripten/*.c ${SDL}/power/*.c ${SDL}/power/emscripten/*.c
    ${SDL}/render/*.c ${SDL}/render/opengles2/*.c ${SDL}/render/software/*.c ${SDL}/sensor/*.c ${SDL}/sensor/dummy/*.c
    ${SDL}/stdlib/*.c ${SDL}/thread/*.c ${SDL}/thread/generic/*.c ${SDL}/timer/*.c ${SDL}/timer/unix/*.c ${SDL}/video/*.c
    ${SDL}/video/yuv2rgb/*.c ${SDL}/video/emscripten/*.c ${SDL}/video/dummy/*.c
  INCLUDE libsdl2/include
  DEFINE SDL_AUDIO_DISABLED SDL_JOYSTICK_DISABLED SDL_HAPTIC_DISABLED SDL_SENSOR_DISABLED SDL_HAVE_RLE=0 SDL_HAVE_YUV=0
         SDL_HAVE_BLIT_0=0 SDL_HAVE_BLIT_1=0 SDL_HAVE_BLIT_N_RGB565=0)
foreach(SMALL zstd hpdf imgui sdl2)
  target_compile_options(${SMALL} PRIVATE $<$<CONFIG:Release>:-Oz>)
endforeach()

# Hears the beat: of aubio only its spectrum and its bank of filters.
web_library(aubio PkgConfig::AUBIO
  SOURCES aubio/src/[cfl]vec.c aubio/src/vecutils.c aubio/src/fmat.c aubio/src/mathutils.c aubio/src/spectral/fft.c
    aubio/src/spectral/ooura_fft8g.c aubio/src/spectral/phasevoc.c aubio/src/spectral/filterbank.c
    aubio/src/spectral/filterbank_mel.c aubio/src/musicutils.c aubio/src/utils/log.c
  PRIVATE aubio/src
  DEFINE HAVE_STDLIB_H=1 HAVE_STDIO_H=1 HAVE_MATH_H=1 HAVE_STRING_H=1 HAVE_ERRNO_H=1 HAVE_LIMITS_H=1 HAVE_STDARG_H=1
         HAVE_C99_VARARGS_MACROS=1)
file(CREATE_LINK ${WEB_SOURCES}/aubio/src ${WEB_HEADERS}/aubio SYMBOLIC)
target_include_directories(aubio SYSTEM PUBLIC ${WEB_HEADERS})

# Reads the codes of another device; of its kinds of codes only this one.
set(ZBAR zbar/zbar)
web_library(zbar PkgConfig::ZBAR
  SOURCES ${ZBAR}/config.c ${ZBAR}/decoder.c ${ZBAR}/error.c ${ZBAR}/image.c ${ZBAR}/img_scanner.c ${ZBAR}/refcnt.c
    ${ZBAR}/scanner.c ${ZBAR}/symbol.c ${ZBAR}/misc.c ${ZBAR}/decoder/qr_finder.c ${ZBAR}/qrcode/*.c
  INCLUDE zbar/include PRIVATE zbar zbar/zbar
  DEFINE ENABLE_QRCODE=1 HAVE_ERRNO_H=1 HAVE_INTTYPES_H=1 HAVE_SYS_TIME_H=1 HAVE_UNISTD_H=1 HAVE_STDLIB_H=1
    ZBAR_VERSION_MAJOR=0 ZBAR_VERSION_MINOR=23 ZBAR_VERSION_PATCH=92 PACKAGE_VERSION="0.23.92" NO_STATS=1)
file(WRITE ${CMAKE_BINARY_DIR}/zbar/config.h "// what the compiler is told on its line\n")
target_include_directories(zbar PRIVATE ${CMAKE_BINARY_DIR}/zbar)
