#pragma once
#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>
#include <string_view>
#include <variant>

#include "hal-mock/point.hpp"

/// Faults of the wiring between the field and the board, as values.
///
/// A signal is 0 or 1 at a contact or coil, and a number in the point's unit elsewhere.
namespace ovenproof::mock {

/// Time since the board was made, ms: the time of the simulation, which no fault bends and which
/// does not wrap. Not the board's own clock.
using VirtualMs = std::uint64_t;
/// End of a fault that lasts.
inline constexpr VirtualMs no_end = std::numeric_limits<VirtualMs>::max();

/// The signal is one value whatever the field does: 0 or 1 on contacts and coils, a value in the
/// point's unit elsewhere (heater: 0..1000 permille).
struct StuckAt {
  double value = 0.0;
  friend bool operator==(const StuckAt&, const StuckAt&) = default;
};
/// The signal keeps the value it had at onset.
struct Frozen {
  friend bool operator==(const Frozen&, const Frozen&) = default;
};
/// Broken wire. Contact or coil: de-energised. Thermocouple, cell and Pt100: pulled to full scale.
/// Current loop: 0 mA. Heater drive: 0.
struct Open {
  friend bool operator==(const Open&, const Open&) = default;
};
/// A cross-fault of two contact inputs: their wires touch, so that this one is energised while its
/// own contact or that of the other is made. The other needs a fault of its own to be energised by
/// this one.
struct CrossedWith {
  hal::DigitalIn other{};
  friend bool operator==(const CrossedWith&, const CrossedWith&) = default;
};
/// Short circuit. Contact: bridged, so energised. Coil and heater drive: the output's switch has
/// failed closed, so fully energised while the board has power. Thermocouple and cell: 0 mV.
/// Pt100: 0 ohm. Current loop: the transmitter is bridged and the current runs to full scale.
struct ShortCircuit {
  friend bool operator==(const ShortCircuit&, const ShortCircuit&) = default;
};
/// An error that grows from zero at onset.
struct Drift {
  double per_hour = 0.0;  ///< unit of the point per hour
  friend bool operator==(const Drift&, const Drift&) = default;
};
/// A constant error, in the unit of the point.
struct Offset {
  double by = 0.0;
  friend bool operator==(const Offset&, const Offset&) = default;
};
/// The signal times a factor other than zero; below zero the wires are reversed.
struct Gain {
  double factor = 1.0;
  friend bool operator==(const Gain&, const Gain&) = default;
};
/// White noise, uniform in [-amplitude, amplitude), new every ms. It depends on seed, point and
/// time only, so it does not matter how often or in which order it is looked at. Two faults of one
/// seed on one point are the same noise twice.
struct Noise {
  double amplitude = 0.0;  ///< unit of the point
  std::uint64_t seed = 0;
  friend bool operator==(const Noise&, const Noise&) = default;
};
/// After each change the contact alternates, starting with the new value and changing every
/// period_ms / 2, until duration_ms have passed since the change.
struct Bounce {
  std::uint32_t period_ms = 2;    ///< even, 2..10000
  std::uint32_t duration_ms = 1;  ///< 1..60000
  friend bool operator==(const Bounce&, const Bounce&) = default;
};
/// The signal comes late. At onset it stops following and starts again `by_ms` later, without a
/// jump; at the end it jumps to the present.
struct Delay {
  std::uint32_t by_ms = 1;  ///< 1..max_delay_ms
  friend bool operator==(const Delay&, const Delay&) = default;
};
/// A loose connection: open for the first `open_ms` of every period, counted from onset.
struct Intermittent {
  std::uint32_t period_ms = 2;  ///< 2..3600000
  std::uint32_t open_ms = 1;    ///< 1..period_ms - 1
  friend bool operator==(const Intermittent&, const Intermittent&) = default;
};

inline constexpr std::uint32_t max_delay_ms = 60'000;
/// Largest size of a value, drift, offset, gain or amplitude: far beyond every span, and small
/// enough that no sum of them overflows.
inline constexpr double max_magnitude = 1e6;

using Effect = std::variant<Delay, Bounce, Gain, Offset, Drift, Noise, Frozen, StuckAt, CrossedWith,
                            ShortCircuit, Intermittent, Open>;

/// The kinds in the order in which they compose on one point, from the field to the terminal: slow
/// and bouncing contacts act on what the field does, then errors of the sensor, then a signal that
/// no longer follows, then the wire. So an open wire wins over everything, and a stuck signal shows
/// no drift. Two of a kind act in the order in which they were injected.
enum class FaultKind : std::uint8_t {
  delay,
  bounce,
  gain,
  offset,
  drift,
  noise,
  frozen,
  stuck_at,
  crossed_with,
  short_circuit,
  intermittent,
  open,
  count
};
inline constexpr std::size_t fault_kind_count = static_cast<std::size_t>(FaultKind::count);
static_assert(std::variant_size_v<Effect> == fault_kind_count);

/// The name of each kind in scenario files, in enumerator order.
inline constexpr std::array<std::string_view, fault_kind_count> fault_kind_names{
    "delay",  "bounce",   "gain",         "offset", "drift",        "noise",
    "frozen", "stuck_at", "crossed_with", "short",  "intermittent", "open"};

constexpr std::string_view name(FaultKind kind) {
  return kind < FaultKind::count ? fault_kind_names[static_cast<std::size_t>(kind)] : "";
}
/// The kind of that exact name, or nothing.
constexpr std::optional<FaultKind> fault_kind_named(std::string_view name) {
  for (std::size_t i = 0; i < fault_kind_count; ++i) {
    if (fault_kind_names[i] == name) return static_cast<FaultKind>(i);
  }
  return std::nullopt;
}
constexpr FaultKind kind(const Effect& effect) { return static_cast<FaultKind>(effect.index()); }

/// One fault: what, where, and when. It acts at every instant t with onset_ms <= t < end_ms.
struct SignalFault {
  Point point;
  Effect effect;
  VirtualMs onset_ms = 0;
  VirtualMs end_ms = no_end;
  friend bool operator==(const SignalFault&, const SignalFault&) = default;
};

/// Why a fault of that kind makes no sense on that point; empty if it does.
std::string_view refusal(Point point, FaultKind kind);
/// Why the fault cannot be injected (kind on that point, a parameter out of range, an empty time);
/// empty if it can. The text tells what is allowed.
std::string_view refusal(const SignalFault& fault);

}  // namespace ovenproof::mock
