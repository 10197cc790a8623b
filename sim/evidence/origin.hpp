#pragma once
#include <string>
#include <string_view>
#include <utility>
#include <vector>

/// What made a pack.
namespace ovenproof::evidence {

/// SHA-256 over the sources of the whole program, and of the firmware alone: each file's hash and
/// path, sorted by path. The same whatever the compiler and the machine.
extern const char* const program_sources;
extern const char* const firmware_sources;

/// "0.1.0"
std::string_view program_version();

/// Libraries whose code has a part in the results, with the versions compiled in.
std::vector<std::pair<std::string, std::string>> library_versions();

}  // namespace ovenproof::evidence
