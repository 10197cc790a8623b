#pragma once
#include <cstddef>
#include <cstdint>

namespace ovenproof::logic {

/// On-delay timers (TON of IEC 61131-3) that the logic commands but does not keep: it says each
/// scan which ones run, a timer bank outside counts, and "elapsed" comes back as a fact. A timer
/// not run in a scan starts again from zero. Presets are settings.
enum class Timer : std::uint8_t {
  gate_hold,        ///< oxygen held at or below the gate
  purge_timeout,    ///< the gate was not met in time
  heating_timeout,  ///< ramps and soaks take too long
  cooling_timeout,  ///< cooling and flushing take too long
  arm_expiry,       ///< start by door closing stays armed for this long
  changeover,       ///< both gas valves shut between two paths

  supply_lost,
  purge_flow_missing,
  process_flow_missing,
  purge_flow_unexpected,
  process_flow_unexpected,
  fan_not_proven,
  fan_unexpected,
  k1_not_open,
  k2_not_open,
  k1_not_closed,
  k2_not_closed,
  damper_not_open,
  damper_not_closed,
  blower_not_proven,
  blower_unexpected,
  count
};

inline constexpr std::size_t timer_count = static_cast<std::size_t>(Timer::count);

/// Set of timers, bit n for Timer n.
using TimerSet = std::uint32_t;
constexpr TimerSet bit(Timer timer) { return TimerSet{1} << static_cast<unsigned>(timer); }

}  // namespace ovenproof::logic
