#pragma once
#include <cstdint>

#include "firmware/math/units.hpp"
#include "firmware/settings/settings.hpp"

namespace ovenproof::control {

/// What the sequence asks of the temperature programme in a scan.
struct ProgrammeCommands {
  bool ramp = false;     ///< move the setpoint to the segment's target
  bool soak = false;     ///< count soak time; the setpoint still moves if it is not there yet
  bool advance = false;  ///< rising edge: to the next segment, if there is one
  bool restart = false;  ///< while true: back to the first segment, nothing counted
  friend constexpr bool operator==(const ProgrammeCommands&, const ProgrammeCommands&) = default;
};

/// What the temperature programme tells the sequence.
struct ProgrammeFacts {
  bool ramp_complete = false;  ///< the setpoint is at the segment's target
  bool soak_complete = false;  ///< the segment's soak time has been spent within the soak band
  bool last_segment = false;   ///< no segment follows
  friend constexpr bool operator==(const ProgrammeFacts&, const ProgrammeFacts&) = default;
};

/// Multi-segment temperature programme with guaranteed soak.
///
/// Whenever ramp or soak is commanded after neither was, the setpoint starts at the measured
/// temperature (bumpless) and goes to the segment's target at the segment's rate, up or down. With
/// a ramp lag limit it waits while the measurement is further behind than that.
///
/// Soak time counts while soak is commanded, the setpoint is at the target and the measurement is
/// within the soak band. Outside the band it pauses; nothing but `advance` and `restart` ever takes
/// it back: not leaving the band, not an interruption, not toggling between ramp and soak. So no
/// order of commands can keep a soak from ending once its time has been spent in the band. The
/// time since the last update counts by the state at its end, so each entry into the band is
/// reckoned with an error of less than a scan.
class Programme {
 public:
  /// One scan. `valid` false (or a measurement that is not finite): the setpoint waits and no soak
  /// time counts. `dt`: time since the last update.
  void update(ProgrammeCommands commands, Celsius measured, bool valid,
              const settings::Programme& settings, Milliseconds dt);

  [[nodiscard]] ProgrammeFacts facts(const settings::Programme& settings) const;
  /// Where the setpoint is; of no meaning while `active` is false.
  [[nodiscard]] Celsius setpoint() const { return setpoint_; }
  /// A setpoint is being given: ramp or soak was commanded and the measurement has been valid.
  [[nodiscard]] bool active() const { return started_; }
  /// The segment in work, from 0.
  [[nodiscard]] std::uint32_t segment() const { return segment_; }
  /// Soak time counted in this segment.
  [[nodiscard]] Milliseconds soaked() const { return soaked_; }

  friend bool operator==(const Programme&, const Programme&) = default;

 private:
  void move_setpoint(Celsius measured, bool fresh, const settings::Segment& segment,
                     Kelvins lag_limit, Milliseconds dt);

  std::uint32_t segment_ = 0;
  Celsius start_{};  ///< where the setpoint began its way to the target
  Celsius setpoint_{};
  Milliseconds ramped_{};  ///< time the setpoint has moved since `start_`
  Milliseconds soaked_{};
  bool started_ = false;
  bool at_target_ = false;
  bool reached_band_ = false;  ///< has soaked within the band in this segment
  bool advance_seen_ = false;
};

}  // namespace ovenproof::control
