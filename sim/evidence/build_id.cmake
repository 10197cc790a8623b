# Writes OUTPUT, a source file with the hashes of the program's and of the firmware's sources.
# Hashes of sources, not of the binary: two compilers give the same results, so also the same pack.
file(GLOB_RECURSE files LIST_DIRECTORIES false RELATIVE ${ROOT}
     ${ROOT}/firmware/* ${ROOT}/hal-mock/* ${ROOT}/sim/* ${ROOT}/CMakeLists.txt)
list(FILTER files INCLUDE REGEX "\\.(cpp|hpp|cmake|css|html|js)$|/CMakeLists\\.txt$|^CMakeLists\\.txt$")
list(SORT files)
set(program "")
set(firmware "")
foreach(file IN LISTS files)
  file(SHA256 ${ROOT}/${file} hash)
  string(APPEND program "${hash}  ${file}\n")
  if(file MATCHES "^firmware/")
    string(APPEND firmware "${hash}  ${file}\n")
  endif()
endforeach()
string(SHA256 program_hash "${program}")
string(SHA256 firmware_hash "${firmware}")
file(WRITE ${OUTPUT}
"#include \"sim/evidence/origin.hpp\"

namespace ovenproof::evidence {

const char* const program_sources = \"${program_hash}\";
const char* const firmware_sources = \"${firmware_hash}\";

}  // namespace ovenproof::evidence
")
