#pragma once
#include <cstdint>

#include "firmware/math/units.hpp"
#include "firmware/settings/settings.hpp"

namespace ovenproof::control {

/// Compares the clock with a second time base: the converter, which counts its conversions by an
/// oscillator of its own. A clock that runs fast makes the purge too short, one that runs slow the
/// reaction to every lost proof too long.
class ClockCheck {
 public:
  /// One scan. `conversion`: the converter's number; `dt`: time since the last scan, by the clock.
  /// A converter that stands still is no time base: its readings are stale, which is found apart.
  void update(std::uint16_t conversion, Milliseconds dt, const settings::Scan& settings);

  /// Over the last whole window the two differed by more than the tolerance. Stays until a window
  /// in which they agree.
  [[nodiscard]] bool differs() const { return differs_; }

  friend bool operator==(const ClockCheck&, const ClockCheck&) = default;

  /// Of conversions: long enough that one more or less is no difference, short beside any purge.
  static constexpr std::uint32_t window = 100;

 private:
  std::uint32_t conversions_ = 0;  ///< since the window began
  Milliseconds elapsed_{};         ///< since then, by the clock
  Milliseconds still_for_{};       ///< since the last conversion
  std::uint16_t last_ = 0;
  bool started_ = false;
  bool differs_ = false;
};

}  // namespace ovenproof::control
