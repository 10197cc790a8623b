#pragma once
#include <filesystem>
#include <fstream>

namespace ovenproof::rig {

/// A file that takes its name only when it is whole; until then it is called `<name>.part`, and if
/// it is never finished it is removed.
class PartFile {
 public:
  /// Throws std::runtime_error, naming the file, if it cannot be written.
  explicit PartFile(std::filesystem::path path);
  PartFile(const PartFile&) = delete;
  PartFile& operator=(const PartFile&) = delete;
  ~PartFile();

  [[nodiscard]] std::ofstream& stream() { return file_; }
  /// Writes out what was given so far, so that a disk that takes nothing is found at once. Throws
  /// std::runtime_error if it could not be written.
  void flush();
  /// Completes the file. Throws std::runtime_error if anything could not be written.
  void finish();

 private:
  std::filesystem::path path_;
  std::filesystem::path part_;
  std::ofstream file_;
  bool ours_ = false;  ///< the part is there by us, to be removed unless it gets its name
};

}  // namespace ovenproof::rig
