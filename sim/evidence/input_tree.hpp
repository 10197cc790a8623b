#pragma once
#include <filesystem>
#include <string>
#include <vector>

#include "sim/evidence/pack.hpp"

namespace ovenproof::evidence {

/// The folder of a pack that holds its inputs.
inline constexpr const char* inputs_folder = "inputs";

/// Where the inputs of a pack lie in it: below `inputs_folder`, each where it lay from the folder
/// in which the program was called, so that scenarios find the machine files that they name.
class InputTree {
 public:
  /// \param inputs all of the pack: how far above the working folder they lie counts
  explicit InputTree(const std::vector<ListedFile>& inputs);

  /// "inputs/scenarios/cases/door.yaml"; empty for a file named by an absolute path, which is found
  /// nowhere else.
  [[nodiscard]] std::string place_of(const std::string& path) const;

  /// Lays out copies from the pack in `folder`, and returns the folder to work in. Files that the
  /// pack does not hold are left out. Throws std::runtime_error if one cannot be copied.
  [[nodiscard]] std::filesystem::path lay_out(const std::filesystem::path& pack,
                                              const std::filesystem::path& folder) const;

 private:
  std::vector<std::string> paths_;
  std::filesystem::path working_;  ///< below the root: "below/below" if one is named "../../x.yaml"
};

}  // namespace ovenproof::evidence
