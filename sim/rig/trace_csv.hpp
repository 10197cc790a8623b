#pragma once
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <string>

#include "sim/rig/rig.hpp"

namespace ovenproof::rig {

/// Writes every probe of a rig to a CSV file (RFC 4180), a row each interval, units in the header.
/// The file takes its name only when it is whole; until then it is called `<name>.part`.
class TraceCsv {
 public:
  /// Throws std::runtime_error, naming the file, if it cannot be written. `every_ms`: above 0.
  TraceCsv(std::filesystem::path path, std::uint32_t every_ms);
  TraceCsv(const TraceCsv&) = delete;
  TraceCsv& operator=(const TraceCsv&) = delete;
  /// Removes an unfinished file.
  ~TraceCsv();

  /// After each scan. Writes a row in the first scan at or after each multiple of the interval.
  void observe(const Rig& rig);
  /// Completes the file. Throws std::runtime_error if anything could not be written.
  void finish();

 private:
  void remove_part();

  std::filesystem::path path_;
  std::filesystem::path part_;
  std::ofstream file_;
  std::string line_;
  std::uint32_t every_ms_;
  bool part_is_ours_ = false;  ///< to remove unless it gets its name
};

}  // namespace ovenproof::rig
