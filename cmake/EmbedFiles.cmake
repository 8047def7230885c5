# Writes a C++ source that holds every file of a folder, for halfarc::server::every_asset().
#   cmake -DFOLDER=web -DOUTPUT=assets.cpp -P EmbedFiles.cmake
# index.html answers "/", each other file "/assets/NAME".
set(types ".html=text/html" ".js=text/javascript" ".css=text/css"
  ".svg=image/svg+xml" ".png=image/png" ".woff2=font/woff2" ".json=application/json" ".webmanifest=application/manifest+json")

file(GLOB files LIST_DIRECTORIES false RELATIVE ${FOLDER} ${FOLDER}/*)
list(SORT files)
set(arrays "")
set(table "")
set(number 0)
foreach(file IN LISTS files)
  string(REGEX MATCH "\\.[a-z0-9]+$" ending "${file}")
  set(type "")
  foreach(pair IN LISTS types)
    if(pair MATCHES "^\\${ending}=(.*)$")
      set(type "${CMAKE_MATCH_1}")
    endif()
  endforeach()
  if(type STREQUAL "")
    continue() # a source map and the like
  endif()
  if(type MATCHES "^text/")
    string(APPEND type "; charset=utf-8")
  endif()
  if(file STREQUAL "index.html")
    set(path "/")
  else()
    set(path "/assets/${file}")
  endif()
  file(READ ${FOLDER}/${file} hex HEX)
  string(REGEX REPLACE "(................................................................)" "\\1\n" hex "${hex}")
  string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," bytes "${hex}")
  string(APPEND arrays "constexpr unsigned char kFile${number}[] = {\n${bytes}0};\n")
  string(APPEND table "    {\"${path}\", \"${type}\", text(kFile${number}, sizeof kFile${number} - 1)},\n")
  math(EXPR number "${number} + 1")
endforeach()
if(number EQUAL 0)
  message(FATAL_ERROR "nothing to embed in ${FOLDER}")
endif()

file(WRITE ${OUTPUT} "// Made by cmake/EmbedFiles.cmake.
#include \"halfarc/server/assets.h\"

namespace halfarc::server {
namespace {

${arrays}
std::string_view text(const unsigned char* bytes, std::size_t count) {
  return {reinterpret_cast<const char*>(bytes), count};
}

}  // namespace

std::span<const Asset> every_asset() {
  static const Asset all[] = {
${table}  };
  return all;
}

}  // namespace halfarc::server
")
