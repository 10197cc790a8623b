#pragma once
#include "firmware/math/units.hpp"
#include "firmware/settings/settings.hpp"

namespace ovenproof::control {

/// What one scan found about time.
struct ScanTiming {
  Milliseconds dt{};        ///< time to reckon with in this scan
  bool overrun = false;     ///< later than the overrun limit after the last scan
  bool clock_jump = false;  ///< the clock stood still, went back or leapt; `dt` is the period then
  friend constexpr bool operator==(const ScanTiming&, const ScanTiming&) = default;
};

/// Compares the board's clock from scan to scan with the period expected. The clock's wrap at
/// 2^32 ms is no jump.
class ScanSupervision {
 public:
  /// One scan, begun at `now`. The first gives the period and no finding.
  ScanTiming update(Milliseconds now, const settings::Scan& settings);

  friend bool operator==(const ScanSupervision&, const ScanSupervision&) = default;

 private:
  bool started_ = false;
  Milliseconds last_{};
};

}  // namespace ovenproof::control
