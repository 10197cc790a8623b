#pragma once
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "sim/machine/io_list.hpp"
#include "sim/rig/probes.hpp"

namespace ovenproof::replay {

/// What replay does with a recorded signal.
enum class Role : std::uint8_t {
  contact_in,  ///< fed to the firmware
  analog_in,   ///< fed to the firmware
  coil_out,    ///< compared with what the firmware does
  heater,      ///< likewise: the heater drive
  power,       ///< switches the controller off and on
  other        ///< only judged by properties
};

/// A signal of an oven: one of `rig::probes()`.
struct Signal {
  std::size_t probe = 0;  ///< index in rig::probes()
  Role role = Role::other;
  std::size_t index = 0;  ///< of hal::DigitalIn, hal::AnalogIn or hal::DigitalOut
  machine::Part part = machine::Part::every_oven;
  friend bool operator==(const Signal&, const Signal&) = default;
};

/// The signal of that probe.
Signal signal_of(std::size_t probe);

/// The signal called so: the name of a probe ("input.te_a", "board.k1", "plant.gas"), or a tag of
/// the machine ("TE-1A").
std::optional<Signal> find_signal(std::string_view name, const machine::Tags& tags);

/// "input.te_a"
std::string_view name_of(const Signal& signal);

/// The name most like `wrong`, empty if none is near.
std::string nearest_signal(std::string_view wrong);

/// The probe of an input.
std::size_t probe_of(hal::DigitalIn point);
std::size_t probe_of(hal::AnalogIn point);

}  // namespace ovenproof::replay
