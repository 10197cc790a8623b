#include "sim/evidence/input_tree.hpp"

#include <algorithm>

namespace ovenproof::evidence {
namespace fs = std::filesystem;
namespace {

std::ptrdiff_t steps_up(const fs::path& path) {
  const fs::path normal = path.lexically_normal();
  return std::count(normal.begin(), normal.end(), fs::path(".."));
}

/// Each folder on the way, also those that a ".." leaves again.
void make_way(const fs::path& from, const fs::path& folders) {
  fs::path at = from;
  for (const fs::path& each : folders) {
    at /= each;
    if (!fs::exists(at)) fs::create_directory(at);
  }
}

}  // namespace

InputTree::InputTree(const std::vector<ListedFile>& inputs) {
  std::ptrdiff_t most = 0;
  for (const ListedFile& each : inputs) {
    paths_.push_back(each.path);
    if (!fs::path(each.path).is_absolute()) most = std::max(most, steps_up(each.path));
  }
  for (std::ptrdiff_t i = 0; i < most; ++i) working_ /= "below";
}

std::string InputTree::place_of(const std::string& path) const {
  if (fs::path(path).is_absolute()) return {};
  return (inputs_folder / (working_ / path).lexically_normal()).generic_string();
}

fs::path InputTree::lay_out(const fs::path& pack, const fs::path& folder) const {
  const fs::path root = folder / inputs_folder;
  const fs::path working = root / working_;
  fs::create_directories(working);
  for (const std::string& each : paths_) {
    const std::string place = place_of(each);
    if (place.empty() || !fs::is_regular_file(pack / place)) continue;
    make_way(working, fs::path(each).parent_path());
    fs::create_directories((folder / place).parent_path());
    fs::copy_file(pack / place, folder / place, fs::copy_options::skip_existing);
  }
  return working;
}

}  // namespace ovenproof::evidence
