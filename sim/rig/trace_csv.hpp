#pragma once
#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

#include "sim/rig/part_file.hpp"
#include "sim/rig/rig.hpp"

namespace ovenproof::rig {

/// Whether a trace with that interval has an entry for this scan: the first at or after each
/// multiple of it. `every_ms`: above 0.
bool traced(const Rig& rig, std::uint32_t every_ms);

/// Writes every probe of a rig to a CSV file (RFC 4180), a row each interval, units in the header.
/// The file takes its name only when it is whole; until then it is called `<name>.part`.
class TraceCsv {
 public:
  /// Throws std::runtime_error, naming the file, if it cannot be written. `every_ms`: above 0.
  TraceCsv(std::filesystem::path path, std::uint32_t every_ms);
  /// After each scan. Writes a row in the first scan at or after each multiple of the interval.
  void observe(const Rig& rig);
  /// Completes the file. Throws std::runtime_error if anything could not be written.
  void finish() { file_.finish(); }

 private:
  PartFile file_;
  std::vector<double> row_;
  std::string line_;
  std::uint32_t every_ms_;
};

}  // namespace ovenproof::rig
