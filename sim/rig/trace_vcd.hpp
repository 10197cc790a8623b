#pragma once
#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

#include "sim/rig/part_file.hpp"
#include "sim/rig/rig.hpp"

namespace ovenproof::rig {

/// Writes every probe of a rig to a value change dump (VCD of IEEE 1364-2005, section 18), looked
/// at each interval: booleans as wires, numbers as reals, states as registers whose values a
/// comment names. Time is in ms since the board was made. The file takes its name only when it is
/// whole; until then it is called `<name>.part`.
class TraceVcd {
 public:
  /// Throws std::runtime_error, naming the file, if it cannot be written. `every_ms`: above 0.
  TraceVcd(std::filesystem::path path, std::uint32_t every_ms);
  /// After each scan. Looks at the probes in the first scan at or after each multiple of the
  /// interval.
  void observe(const Rig& rig);
  /// Completes the file. Throws std::runtime_error if anything could not be written.
  void finish() { file_.finish(); }

 private:
  void write_header();

  PartFile file_;
  std::vector<double> row_;
  std::vector<double> last_;
  std::string text_;
  std::uint32_t every_ms_;
  bool begun_ = false;
};

}  // namespace ovenproof::rig
