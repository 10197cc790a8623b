#pragma once
#include "firmware/conditioning/reading.hpp"
#include "firmware/math/units.hpp"

namespace ovenproof::conditioning {

struct HeatPlausibilityLimits {
  Fraction high_drive{0.9F};           ///< drive from here up must heat
  Milliseconds no_rise_time{600'000};  ///< high for this long
  Kelvins min_rise{3.0F};              ///< must have raised the temperature by this
  Milliseconds grace{600'000};         ///< after heat goes off, or the circumstances change
  float slow_rise_K_per_min = 0.5F;    ///< a cooling oven may even out at this rate for ever
  Kelvins max_rise{30.0F};             ///< beyond the slow rise, with no heat demanded
  Kelvins max_overshoot{40.0F};        ///< in ramp and soak, while the drive is zero
};

/// What the controller does to the oven, as far as it moves the thermocouple's reading.
struct HeatCircumstances {
  Fraction drive{0.0F};  ///< heater drive as written to the output, 0..1
  bool heating = false;  ///< contactors energised: ramp and soak
  bool door_closed = false;
  bool fan_running = false;
  bool cooling = false;  ///< damper or blowers
};

/// Does the temperature answer to the heat?
///
/// no_rise: the drive has been high for no_rise_time in sum (less the time below high_drive; zero
/// drive clears it), yet the temperature is not min_rise higher than when that time began: the
/// thermocouple has slipped out or the elements are broken.
///
/// rise_without_demand: with the drive at zero, the door closed and fan and cooling unchanged for
/// `grace` (elements still give off heat; a moved load, an opened door, a started fan or stopped
/// cooling change the reading honestly), the temperature has risen by more than max_rise above a
/// reference that follows it down at once and up no faster than slow_rise_K_per_min. In ramp and
/// soak, where the circumstances stay the same, no grace is needed: what hot elements still give
/// off is no more than max_overshoot, and a power switch that is shorted heats at full power.
class HeatPlausibility {
 public:
  /// One conversion. An invalid temperature restarts both judgements.
  void update(const Reading<Celsius>& temperature, const HeatCircumstances& now,
              Milliseconds elapsed, const HeatPlausibilityLimits& limits);

  [[nodiscard]] bool no_rise() const { return no_rise_; }
  [[nodiscard]] bool rise_without_demand() const { return rise_without_demand_ || overshoot_; }

 private:
  void judge_heating(float t, Fraction drive, Milliseconds elapsed,
                     const HeatPlausibilityLimits& limits);
  void judge_idle(float t, bool quiet, Milliseconds elapsed, const HeatPlausibilityLimits& limits);
  void judge_overshoot(float t, bool undemanded, const HeatPlausibilityLimits& limits);

  float heating_from_ = 0.0F;
  float idle_reference_ = 0.0F;
  float lowest_undemanded_ = 0.0F;
  Milliseconds high_for_{0};
  Milliseconds quiet_for_{0};
  bool heating_ = false;
  bool fan_was_running_ = false;
  bool was_cooling_ = false;
  bool no_rise_ = false;
  bool rise_without_demand_ = false;
  bool undemanded_ = false;  ///< in ramp or soak, the drive at zero
  bool overshoot_ = false;
};

}  // namespace ovenproof::conditioning
