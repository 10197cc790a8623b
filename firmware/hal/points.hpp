#pragma once
#include <cstddef>
#include <cstdint>

/// The I/O points a board offers to the oven controller, by what they mean in the field.
/// Tags have the letters of ISA-5.1, those of contactors the letter of IEC 81346-2.
namespace ovenproof::hal {

/// Contact inputs, 24 V DC. `true` means the terminal is energised; every safety contact is
/// energised in the safe condition, so that a broken wire reads as unsafe.
enum class DigitalIn : std::uint8_t {
  door_closed_1,    ///< ZS-1: energised while the first door contact proves the door closed
  door_closed_2,    ///< ZS-2: second door contact (unused on ovens with one)
  start_button,     ///< HS-1: energised while pressed
  stop_button,      ///< HS-2: normally closed, energised while NOT pressed
  reset_button,     ///< HS-3: energised while pressed
  estop_healthy,    ///< HSS: read-back of the emergency stop, energised while not operated
  limiter_healthy,  ///< TSHH: read-back of the limiter, energised while not tripped
  gas_supply_ok,    ///< PS: energised while supply pressure is sufficient
  purge_flow,       ///< FS-1: energised while purge flow is proven
  process_flow,     ///< FS-2: energised while process flow is proven
  fan_running,      ///< FS-3: energised while circulation airflow is proven
  k1_open,          ///< mirror contact of Q1: energised while its main contacts are open
  k2_open,          ///< mirror contact of Q2: energised while its main contacts are open
  damper_open,      ///< ZSO: energised at the open end stop of the cooling damper
  damper_closed,    ///< ZSC: energised at the closed end stop of the cooling damper
  blower_running,   ///< FS-4: energised while cooling blower airflow is proven
  count
};

/// Analogue inputs, 16-bit counts. The physical span of each is in `analog_span`.
enum class AnalogIn : std::uint8_t {
  te_a,            ///< TE-1A: control thermocouple, mV
  te_b,            ///< TE-1B: second control thermocouple, mV (unused on ovens with one)
  cold_junction,   ///< Pt100 at the thermocouple terminals, ohm
  oxygen_cell,     ///< AT: zirconia cell, mV (ovens with a cell)
  oxygen_cell_tc,  ///< TE-3: type K thermocouple of the cell heater, mV (ovens with a cell)
  oxygen_loop,     ///< AT: oxygen transmitter, 4-20 mA (ovens with a transmitter)
  count
};

/// Switched outputs. `true` energises; de-energised is the safe state of every one.
enum class DigitalOut : std::uint8_t {
  k1,             ///< regulating contactor
  k2,             ///< safety contactor
  fan,            ///< circulation fan contactor
  purge_valve,    ///< XV-1
  process_valve,  ///< XV-2
  damper,         ///< cooling damper: energised drives it open, a spring closes it
  blower,         ///< cooling blowers
  run_lamp,       ///< white: a cycle runs; flashing: waiting for the operator
  fault_lamp,     ///< yellow: tripped; flashing: not acknowledged
  horn,
  count
};

inline constexpr std::size_t digital_in_count = static_cast<std::size_t>(DigitalIn::count);
inline constexpr std::size_t analog_in_count = static_cast<std::size_t>(AnalogIn::count);
inline constexpr std::size_t digital_out_count = static_cast<std::size_t>(DigitalOut::count);

/// Physical value at count 0 and at count 65535; linear between, saturating beyond.
struct AnalogSpan {
  float at_zero;
  float at_full;
};

/// The converter's span of each analogue input, in the unit named at AnalogIn. An open
/// thermocouple or cell circuit is pulled to full scale (up-scale burn-out); an open Pt100 reads
/// full scale, a shorted one zero; an open loop reads 0 mA.
constexpr AnalogSpan analog_span(AnalogIn point) {
  switch (point) {
    case AnalogIn::te_a:
    case AnalogIn::te_b:
    case AnalogIn::oxygen_cell_tc:
      return {-10.0F, 80.0F};
    case AnalogIn::cold_junction:
      return {80.0F, 145.0F};
    case AnalogIn::oxygen_cell:
      return {-50.0F, 450.0F};
    case AnalogIn::oxygen_loop:
      return {0.0F, 24.0F};
    case AnalogIn::count:
      break;
  }
  return {0.0F, 0.0F};
}

}  // namespace ovenproof::hal
