#pragma once
#include <array>
#include <cstdint>

#include "firmware/conditioning/reading.hpp"
#include "firmware/math/units.hpp"

namespace ovenproof::conditioning {

struct OvenTemperatureLimits {
  std::uint8_t sensors = 2;                ///< 1 or 2 control thermocouples
  Kelvins disagreement{25.0F};             ///< two may differ by this
  Milliseconds disagreement_time{30'000};  ///< and by more for this long
  Milliseconds rate_window{10'000};        ///< over which the rate is judged
  Kelvins max_rise{60.0F};                 ///< no oven gains more within rate_window
  Kelvins max_fall{250.0F};                ///< or loses more: an opened door is fast
  Kelvins max_fall_closed{30.0F};          ///< or, behind a closed door, more than this
};

/// A change no oven can make within a window: more than max_rise up, or down by more than max_fall,
/// behind a door that was closed all the time by more than max_fall_closed. What a thermocouple
/// reads after it is worth nothing: the verdict stays until acknowledge().
class RateCheck {
 public:
  void update(const Reading<Celsius>& reading, bool door_closed, Milliseconds elapsed,
              const OvenTemperatureLimits& limits);
  void acknowledge() { *this = {}; }
  [[nodiscard]] constexpr bool implausible() const { return implausible_; }

 private:
  Celsius anchor_{0.0F};
  Milliseconds age_{0};
  bool anchored_ = false;
  bool closed_ = false;  ///< since the anchor
  bool implausible_ = false;
};

/// The temperature of the oven from one or two control thermocouples.
class OvenTemperature {
 public:
  /// One conversion; `b` is ignored with one thermocouple.
  void update(const Reading<Celsius>& a, const Reading<Celsius>& b, bool door_closed,
              Milliseconds elapsed, const OvenTemperatureLimits& limits);
  /// Forgets rates that no oven can have.
  void acknowledge() {
    for (RateCheck& each : rate_) each.acknowledge();
  }

  /// The higher of two. Valid only while every thermocouple is; else the reason of the first that
  /// is not, with the other's value for display.
  [[nodiscard]] const Reading<Celsius>& reading() const { return reading_; }
  /// Two valid thermocouples have differed by more than `disagreement` for longer than
  /// `disagreement_time`. Keeps its last verdict while one is not valid.
  [[nodiscard]] bool disagree() const { return disagree_; }
  [[nodiscard]] bool rate_implausible() const {
    return rate_[0].implausible() || rate_[1].implausible();
  }

 private:
  Reading<Celsius> reading_;
  std::array<RateCheck, 2> rate_{};
  Milliseconds differing_{0};
  bool disagree_ = false;
};

}  // namespace ovenproof::conditioning
