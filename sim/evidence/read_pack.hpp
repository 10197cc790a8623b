#pragma once
#include <filesystem>
#include <string>
#include <utility>
#include <vector>

#include "sim/evidence/pack.hpp"

namespace ovenproof::evidence {

/// What a pack says of itself.
struct StatedManifest {
  Manifest manifest;
  std::string program;  ///< "ovenproof 0.1.0"
  std::string program_sources;
  std::string firmware_sources;
  std::vector<std::pair<std::string, std::string>> libraries;
};

/// Reads manifest.json of a folder. Names of outputs are those of files in the folder and in that
/// of its inputs: none leads out of it. Throws std::runtime_error with the file, the place in it
/// and what was expected there, all of it at once.
StatedManifest read_manifest(const std::filesystem::path& folder);

/// The bytes of a file of a pack, at most 1 GiB. Throws std::runtime_error, naming it, if it is no
/// file, is larger, or cannot be read.
std::string read_pack_file(const std::filesystem::path& path);

}  // namespace ovenproof::evidence
