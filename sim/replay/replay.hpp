#pragma once
#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "sim/replay/error_list.hpp"
#include "sim/replay/result.hpp"

namespace ovenproof::replay {

/// What to replay, and how.
struct Request {
  std::filesystem::path log;
  std::optional<std::filesystem::path> mapping;  ///< nothing: columns are called as signals are
  std::vector<std::string> properties;           ///< files or texts, besides the default hazards
  std::optional<std::int64_t> tolerance_ms;      ///< nothing: two scans and the sampling interval
  double drive_tolerance = 0.05;                 ///< share of full power
  std::optional<std::int64_t> gap_ms;            ///< nothing: see docs/replay.md
  bool from_power_up = false;  ///< the recorded controller started at the first row
  bool skip_bad_rows = false;  ///< rows with errors are left out; else they are refused
  std::optional<std::filesystem::path> out;  ///< folder for excerpts; nothing: none are written
};

/// Told now and then which share of the work is done, 0..1.
using Progress = std::function<void(double)>;

/// Replays a log through the firmware of a machine. The log is read twice: once to see whether it
/// is sound and what its intervals are, then to replay it; memory does not grow with its length.
///
/// Excerpts of at most `most_excerpts` findings are written to `request.out`: a log of its own
/// each, from the start of the firmware to some seconds after the finding, which replays the same
/// way. Throws std::runtime_error if one cannot be written.
std::variant<ReplayResult, ErrorList> replay(const machine::Machine& machine,
                                             const Request& request, const Progress& progress);

inline constexpr std::size_t most_excerpts = 10;

}  // namespace ovenproof::replay
