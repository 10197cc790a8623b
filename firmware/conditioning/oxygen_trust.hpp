#pragma once
#include <cstdint>

#include "firmware/conditioning/reading.hpp"
#include "firmware/math/units.hpp"

namespace ovenproof::conditioning {

struct OxygenTrustLimits {
  float chamber_volume_L = 160.0F;  ///< free gas volume, litres, above 0
  LitresPerMinute purge_flow{100.0F};
  LitresPerMinute process_flow{20.0F};
  Milliseconds lag{60'000};  ///< transport to the sensor and its own response

  Milliseconds air_time{180'000};  ///< door open for this long: the chamber holds air
  Ppm air_min{190'000.0F};         ///< what may be read then
  Ppm air_max{225'000.0F};

  float mixing_factor = 4.0F;  ///< the purge may need this many times the stirred volumes
  /// Below this it need not fall further. Must lie above what leak and gas purity leave at purge
  /// flow, or a leak is taken for a fault of the sensor.
  Ppm floor{2'000.0F};
  float lead_factor = 2.0F;              ///< the purge may be this many times as fast as if stirred
  Milliseconds implausible_time{5'000};  ///< too low for this long

  Milliseconds frozen_time{120'000};  ///< plus lag: no change while it must change
  Kelvins frozen_cell_change{8.0F};   ///< a cell that changes by this must change its voltage
  std::uint32_t frozen_band = 8;  ///< counts: what stays this close to one count has not changed

  Milliseconds warm_up_max{2'400'000};  ///< without a valid reading for this long at the start
};

/// What the controller knows of the oven at one conversion.
struct OxygenCircumstances {
  bool door_proven_closed = false;
  bool door_fully_open = false;
  bool purge_commanded = false;
  bool purge_flow_proven = false;
  bool process_commanded = false;
  bool process_flow_proven = false;
  Reading<Celsius> chamber{};           ///< hot gas is thin: a litre purges more of it
  Reading<Celsius> cell_temperature{};  ///< not valid on ovens with a transmitter
};

/// Each latches until acknowledge(), but for the overdue warm-up.
struct OxygenFaults {
  bool not_air = false;           ///< does not read air although the door has been open long enough
  bool not_falling = false;       ///< has not fallen as far as the purge demands
  bool too_low_too_soon = false;  ///< lower than flow and volume can have brought it yet
  bool frozen = false;            ///< within its band while it had to change
  bool warm_up_overdue = false;   ///< no valid reading within warm_up_max; ends with the first one

  [[nodiscard]] constexpr bool any() const {
    return not_air || not_falling || too_low_too_soon || frozen || warm_up_overdue;
  }
  friend constexpr bool operator==(const OxygenFaults&, const OxygenFaults&) = default;
};

/// Whether the oxygen reading deserves to be believed.
///
/// In air. With the door fully open for air_time it must read air: not_air.
///
/// Purge. Two bounds on the oxygen in the chamber are integrated from the gas that has flowed, by
/// the stirred-dilution law C = C0 exp(-N), N the chamber volumes exchanged:
///
/// - the *upper* bound is air until purge flow is proven with the door closed, then falls with
///   the nominal purge flow, mixing_factor times slower than stirred, as if the chamber were
///   cold; any loss of flow starts it again;
/// - the *lower* bound is zero at power-up (nothing is known), air once the door has been open
///   for air_time, and falls with every flow that is proven *or* commanded, lead_factor times
///   faster than stirred, in gas as thin as the chamber is hot.
///
/// While purging, a reading 10 % above the upper bound (or floor, whichever is more) for twice the
/// lag is not_falling; one below half the lower bound for implausible_time, the door not lying
/// open, is too_low_too_soon.
///
/// Frozen. The raw counts must change, by more than the noise of a converter or a stuck instrument
/// (frozen_band), while purge flow is proven and the reading is above floor,
/// while the door lies open and the reading is not air, and when the cell's temperature has moved
/// by frozen_cell_change since they last did (the voltage of a cell that sees less than air
/// follows its temperature). Times of no such demand do not count.
///
/// Readings that are not valid are not judged, but for the warm-up: their validity must be asked
/// apart.
class OxygenTrust {
 public:
  /// One conversion. `count`: the raw counts of the cell or loop the reading came from.
  void update(const Reading<Ppm>& oxygen, std::uint16_t count, const OxygenCircumstances& now,
              Milliseconds elapsed, const OxygenTrustLimits& limits);

  [[nodiscard]] const OxygenFaults& faults() const { return faults_; }
  /// No fault is latched. Says nothing of validity.
  [[nodiscard]] bool trusted() const { return !faults_.any(); }
  /// Clears the latched faults. Each judgement starts again and latches anew if its cause lasts.
  void acknowledge();

 private:
  void integrate_bounds(const OxygenCircumstances& now, Milliseconds elapsed,
                        const OxygenTrustLimits& limits);
  void judge_warm_up(Reason reason, Milliseconds elapsed, const OxygenTrustLimits& limits);
  void judge_air(float ppm, bool door_fully_open, Milliseconds elapsed,
                 const OxygenTrustLimits& limits);
  void judge_purge(float ppm, const OxygenCircumstances& now, Milliseconds elapsed,
                   const OxygenTrustLimits& limits);
  void judge_frozen(float ppm, std::uint16_t count, const OxygenCircumstances& now,
                    Milliseconds elapsed, const OxygenTrustLimits& limits);
  void restart_judgements();

  OxygenFaults faults_;
  float upper_ppm_ = 209'500.0F;
  float lower_ppm_ = 0.0F;
  float cell_at_change_C_ = 0.0F;
  Milliseconds open_for_{0};        ///< door fully open
  Milliseconds open_valid_for_{0};  ///< and the reading valid
  Milliseconds not_air_for_{0};
  Milliseconds too_high_for_{0};
  Milliseconds too_low_for_{0};
  Milliseconds unchanged_for_{0};
  Milliseconds waited_{0};
  std::uint16_t count_at_change_ = 0;  ///< no valid reading comes from count 0
  bool ever_valid_ = false;
};

}  // namespace ovenproof::conditioning
