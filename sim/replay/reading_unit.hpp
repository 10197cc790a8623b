#pragma once
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "sim/machine/machine.hpp"
#include "sim/properties/units.hpp"
#include "sim/replay/signal.hpp"

namespace ovenproof::replay {

/// How the numbers of a column are meant.
struct ReadingUnit {
  enum class Kind : std::uint8_t {
    none,         ///< a boolean, a state, or a number in the signal's own unit
    counts,       ///< of an analogue input: raw converter counts, 0..65535
    electrical,   ///< of an analogue input: mV, mA or ohm at its terminals
    temperature,  ///< of an analogue input: through its sensor
    fraction,     ///< of an analogue input: mole fraction, through its sensor
    converted     ///< of another number: a unit of the same dimension
  };
  Kind kind = Kind::none;
  properties::Unit from;  ///< of temperature, fraction and converted
  properties::Unit to;    ///< of converted
};

/// The unit `symbol` for a signal; nothing if it does not fit. Empty: the signal's own unit, which
/// for an analogue input is counts.
std::optional<ReadingUnit> reading_unit(const Signal& signal, std::string_view symbol);

/// The units that fit, for messages: "degC, K, mV or counts".
std::string units_that_fit(const Signal& signal);

/// What the conversion of one analogue input needs to know of the others.
struct SensorContext {
  double terminal_degC = 25.0;  ///< of the thermocouple terminals
  double cell_degC = 750.0;     ///< of the oxygen cell
};

/// What an analogue input must be presented with (mV, ohm or mA) to read `value`: through the
/// reference function of the machine's thermocouple (ITS-90), the Pt100 (IEC 60751), the Nernst
/// equation or the transmitter's scale.
double at_terminals(hal::AnalogIn point, const ReadingUnit& unit, double value,
                    const machine::Machine& machine, const SensorContext& context);

/// Temperature of the terminals from what their Pt100 presents, degC; within 0.01 K at -20 degC and
/// better above.
double terminal_degC(double ohm);

/// Temperature of the cell from the emf of its thermocouple (type K), degC, 0..1372.
double cell_degC(double emf_mV, double terminal_degC);

/// Counts as the physical value in the middle of the count, which converts back to it.
double physical_of(hal::AnalogIn point, double counts);

}  // namespace ovenproof::replay
