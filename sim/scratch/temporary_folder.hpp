#pragma once
#include <filesystem>
#include <string>

/// Folders that must not outlive the work in them.
namespace ovenproof::scratch {

/// A new folder, removed with all that is in it when the object goes, and when SIGINT, SIGTERM or
/// SIGHUP ends the process; the process then ends by that signal all the same. The first one must
/// be made before other threads are.
class TemporaryFolder {
 public:
  /// A folder in `parent` whose name begins with `prefix`. Throws std::runtime_error if it cannot
  /// be made.
  TemporaryFolder(const std::filesystem::path& parent, const std::string& prefix);
  TemporaryFolder(const TemporaryFolder&) = delete;
  TemporaryFolder& operator=(const TemporaryFolder&) = delete;
  ~TemporaryFolder();

  [[nodiscard]] const std::filesystem::path& path() const { return path_; }

  /// Takes the place of `target`, which is removed, and stays. No signal comes between the two.
  /// Throws std::filesystem::filesystem_error.
  void become(const std::filesystem::path& target);

 private:
  std::filesystem::path path_;
};

}  // namespace ovenproof::scratch
