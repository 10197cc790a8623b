#pragma once
#include <cstddef>
#include <cstdint>

#include "firmware/logic/timers.hpp"

/// The only things the logic can know about the world.
namespace ovenproof::logic {

/// A named boolean about the oven or its operator. All numbers, hysteresis, debounce and
/// durations were spent before it got its name.
///
/// Some facts exclude each other by construction of the conditioning:
/// `door_closed` and `door_open`; `oxygen_at_gate` and `oxygen_above_hold`.
enum class Fact : std::uint8_t {
  door_closed,             ///< every contact has proven the door closed, debounced
  door_open,               ///< every contact says open
  door_contacts_disagree,  ///< the contacts differed for longer than the discrepancy time

  start_pressed,  ///< pressed and let go: for the scan in which that is seen
  stop_pressed,   ///< for as long as it is down
  reset_pressed,  ///< pressed and let go, like start

  estop_healthy,
  limiter_healthy,
  gas_supply_ok,
  purge_flow,
  process_flow,
  fan_running,
  k1_open,  ///< mirror contact proves the main contacts open
  k2_open,
  damper_open,
  damper_closed,
  blower_running,

  temperature_valid,
  thermocouples_disagree,
  temperature_rate_implausible,
  over_temperature,     ///< above the controller's own limit
  no_temperature_rise,  ///< heated for long without getting hotter
  rise_without_demand,  ///< gets hotter with the heaters off

  oxygen_valid,    ///< warm, in range, not at fault
  oxygen_failed,   ///< invalid for another reason than the warm-up within its time
  oxygen_at_gate,  ///< at or below the gate level
  oxygen_above_hold,
  oxygen_air_check_failed,  ///< did not read air with the door open
  oxygen_not_falling,       ///< does not fall although purged
  oxygen_falls_too_soon,    ///< lower than the purge so far can have made it
  oxygen_frozen,            ///< does not change at all though it must
  oxygen_has_read_air,      ///< has read air since power-up and since the last unloading

  purge_volumes_reached,  ///< the required volume changes, by proven flow without a break
  ramp_complete,          ///< the programme's ramp reached its target
  soak_complete,          ///< the segment's guaranteed soak is over
  last_segment,           ///< no further segment follows
  cool_to_unload,         ///< chamber at or below the unloading temperature
  gas_settled,            ///< the gas no longer shrinks faster than the flow makes up
  elements_cool,          ///< nothing left that needs the circulation fan

  settings_valid,  ///< checksum and ranges hold
  scan_overrun,    ///< the scan missed its period by more than allowed
  clock_jump,      ///< the clock moved by what no scan can take, or differs from the converter

  count  ///< facts of the timers follow, see fact_of()
};

inline constexpr std::size_t plain_fact_count = static_cast<std::size_t>(Fact::count);
inline constexpr std::size_t fact_count = plain_fact_count + timer_count;

/// The fact "this timer has been run for its preset".
constexpr Fact fact_of(Timer timer) {
  return static_cast<Fact>(plain_fact_count + static_cast<std::size_t>(timer));
}

/// Set of facts, bit n for Fact n; those of the timers included.
using FactSet = std::uint64_t;
static_assert(fact_count <= 64);
constexpr FactSet bit(Fact fact) { return FactSet{1} << static_cast<unsigned>(fact); }

/// The one way to read a fact: by name, one at a time. Whoever runs the logic gives the facts, or a
/// function that is asked for each one as it is read, so that an explorer sees just which facts a
/// scan looked at. Within one scan the same fact must read the same; the logic does not remember
/// what it read.
class Facts {
 public:
  using Read = bool (*)(const void* source, Fact fact);

  /// All of them known beforehand: those of the set hold.
  constexpr explicit Facts(FactSet holding) : holding_(holding) {}
  constexpr Facts(const void* source, Read read) : source_(source), read_(read) {}

  bool operator()(Fact fact) const {
    return read_ == nullptr ? (holding_ & bit(fact)) != 0 : read_(source_, fact);
  }
  [[nodiscard]] bool elapsed(Timer timer) const { return (*this)(fact_of(timer)); }

 private:
  FactSet holding_ = 0;
  const void* source_ = nullptr;
  Read read_ = nullptr;
};

/// Name of a fact in files and reports, that of the enumerator; for a timer's fact the timer's name
/// and "_elapsed"; "?" outside the enumeration.
const char* name_of(Fact fact);
const char* name_of(Timer timer);
const char* name_of_elapsed(Timer timer);

}  // namespace ovenproof::logic
