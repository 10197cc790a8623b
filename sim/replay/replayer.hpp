#pragma once
#include <cstdint>
#include <optional>
#include <string>

#include "firmware/controller/controller.hpp"
#include "hal-mock/board.hpp"
#include "sim/replay/comparison.hpp"
#include "sim/replay/result.hpp"

namespace ovenproof::replay {

/// Drives the firmware, on a mock board and without an oven, with the samples of a log: the inputs
/// as recorded, a scan each period, the outputs compared with the recorded ones.
///
/// The firmware has power from the first row on. A gap longer than `result.gap_limit_ms` takes it
/// away after the last row before, and gives it back at the first row after.
class Replayer {
 public:
  /// What is compared and judged, and by which limits, is in `result`, which is filled in.
  Replayer(const machine::Machine& machine, InputFeed& feed, JudgedProperties& properties,
           bool from_power_up, ReplayResult& result);

  void take(const Sample& sample);
  void finish();

 private:
  void begin(const Sample& sample);
  void end();
  void make_present(const Sample& sample, bool restart);
  void scans_before(std::int64_t ms);
  void scan(std::int64_t ms);
  void set_power(bool on);
  void collect_differences();
  void close_excerpts(std::int64_t ms, std::uint64_t end);

  const machine::Machine& machine_;
  InputFeed& feed_;
  JudgedProperties& properties_;
  ReplayResult& result_;
  Comparison comparison_;
  std::optional<std::size_t> power_column_;
  bool from_power_up_;

  mock::Board board_;
  std::optional<controller::Controller> controller_;
  std::int64_t period_ms_;
  std::int64_t started_ms_ = 0;  ///< when the firmware was last started
  std::int64_t next_scan_ms_ = 0;
  std::optional<Sample> present_;
  bool fresh_ = false;        ///< the present row has met no scan yet
  bool beyond_rows_ = false;  ///< the last row has passed, and its values hold on
  Stretch stretch_;
  std::size_t stretch_number_ = 0;
};

}  // namespace ovenproof::replay
