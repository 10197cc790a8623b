#pragma once
#include <cstdint>
#include <filesystem>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "sim/digest/sha256.hpp"
#include "sim/scratch/temporary_folder.hpp"

/// The folder in which evidence is handed over (docs/evidence.md).
namespace ovenproof::evidence {

/// A file, and what it was when the pack was made.
struct ListedFile {
  std::string path;  ///< of an input: from where the program was called; of an output: in the pack
  digest::FileDigest digest;
};

/// manifest.json: everything that went in and came out. The manifest itself is not listed.
struct Manifest {
  std::string command;                 ///< that makes the pack again
  std::vector<std::string> arguments;  ///< the same as the program takes them, without --out
  std::string stated_date;             ///< as the user said; empty: none
  std::vector<ListedFile> inputs;
  std::vector<ListedFile> outputs;  ///< by name
};

/// What lies in the folder, and below it, and is neither one of the files listed nor a folder on
/// the way to one; by name.
std::vector<std::string> not_listed(const std::filesystem::path& folder,
                                    const std::set<std::string>& listed);

inline constexpr const char* manifest_name = "manifest.json";

/// As JSON with a newline at the end; program, build and libraries are added to it.
std::string manifest_json(const Manifest& manifest);

/// Throws std::runtime_error with the reason if the folder is there and may not be replaced: it
/// is neither empty nor a pack, or it holds files that its manifest does not list.
void check_replaceable(const std::filesystem::path& folder);

/// A pack in the making: a folder beside the one wanted, which takes its name when it is whole.
/// Without `finish` it is removed, and so it is when a signal ends the process.
class PackWriter {
 public:
  /// Throws std::runtime_error if the folder may not be replaced or cannot be made.
  explicit PackWriter(std::filesystem::path folder);
  PackWriter(const PackWriter&) = delete;
  PackWriter& operator=(const PackWriter&) = delete;

  /// Where a file of that name is to be written by somebody else; it counts as an output.
  [[nodiscard]] std::filesystem::path path_of(const std::string& name);
  /// Writes a file. Throws std::runtime_error if it cannot be written.
  void add(const std::string& name, std::string_view text);
  /// Hashes all outputs, writes the manifest, gives the folder its name; a pack that was there
  /// before is removed then. Throws std::runtime_error if any of it fails.
  void finish(Manifest manifest);

 private:
  std::filesystem::path folder_;
  std::optional<scratch::TemporaryFolder> part_;
  std::vector<std::string> names_;
};

}  // namespace ovenproof::evidence
