#include "sim/replay/reading_unit.hpp"

#include <algorithm>
#include <cmath>

#include "sim/plant/oxygen_cell.hpp"
#include "sim/plant/thermocouple_emf.hpp"
#include "sim/rig/field_wiring.hpp"

namespace ovenproof::replay {
namespace {

using hal::AnalogIn;
using Kind = ReadingUnit::Kind;

std::string_view electrical_unit(AnalogIn point) {
  switch (point) {
    case AnalogIn::cold_junction:
      return "ohm";
    case AnalogIn::oxygen_loop:
      return "mA";
    default:
      return "mV";
  }
}

bool measures_oxygen(AnalogIn point) {
  return point == AnalogIn::oxygen_cell || point == AnalogIn::oxygen_loop;
}

std::optional<ReadingUnit> analog_unit(AnalogIn point, std::string_view symbol) {
  if (symbol.empty() || symbol == "counts" || symbol == "1")
    return ReadingUnit{Kind::counts, {}, {}};
  if (symbol == electrical_unit(point)) return ReadingUnit{Kind::electrical, {}, {}};
  const auto unit = properties::parse_unit(symbol);
  if (!unit) return std::nullopt;
  if (measures_oxygen(point)) {
    if (unit->dimension != properties::fraction_dimension) return std::nullopt;
    return ReadingUnit{Kind::fraction, *unit, {}};
  }
  if (unit->dimension != properties::temperature_dimension) return std::nullopt;
  return ReadingUnit{Kind::temperature, *unit, *properties::parse_unit("degC")};
}

double nernst_mV(double fraction, double cell_degC) {
  return plant::nernst_mV(plant::to_K(cell_degC), fraction);
}

}  // namespace

std::optional<ReadingUnit> reading_unit(const Signal& signal, std::string_view symbol) {
  const rig::Probe& probe = rig::probes()[signal.probe];
  if (signal.role == Role::analog_in) {
    return analog_unit(static_cast<AnalogIn>(signal.index), symbol);
  }
  if (symbol.empty() || symbol == probe.unit) return ReadingUnit{};
  if (probe.kind != rig::ProbeKind::number) return std::nullopt;
  const auto from = properties::parse_unit(symbol);
  const auto to = properties::parse_unit(probe.unit);
  if (!from || !to) return std::nullopt;
  const bool share = probe.unit == "1" && from->dimension == properties::fraction_dimension;
  if (from->dimension != to->dimension && !share) return std::nullopt;
  ReadingUnit unit{Kind::converted, *from, *to};
  if (share) unit.to = *properties::parse_unit("fraction");
  return unit;
}

std::string units_that_fit(const Signal& signal) {
  const rig::Probe& probe = rig::probes()[signal.probe];
  if (signal.role == Role::analog_in) {
    const auto point = static_cast<AnalogIn>(signal.index);
    return std::string(measures_oxygen(point) ? "ppm, %" : "degC, K") + ", " +
           std::string(electrical_unit(point)) + " or counts";
  }
  if (probe.kind != rig::ProbeKind::number) return "no unit";
  if (probe.unit == "1") return "1 or %";
  return std::string(probe.unit) + " or another unit of that quantity";
}

double at_terminals(AnalogIn point, const ReadingUnit& unit, double value,
                    const machine::Machine& machine, const SensorContext& context) {
  switch (unit.kind) {
    case Kind::counts:
      return physical_of(point, value);
    case Kind::temperature: {
      const double degC = properties::convert(value, unit.from, unit.to, true);
      if (point == AnalogIn::cold_junction) return rig::pt100_ohm(std::clamp(degC, -200.0, 850.0));
      if (point == AnalogIn::oxygen_cell_tc) {
        return plant::emf_type_k_mV(degC) - plant::emf_type_k_mV(context.terminal_degC);
      }
      const plant::ThermocoupleType type = machine.plant.thermocouples.type;
      return plant::emf_mV(type, degC) - plant::emf_mV(type, context.terminal_degC);
    }
    case Kind::fraction: {
      const double share = value * unit.from.numerator / unit.from.denominator;
      if (point == AnalogIn::oxygen_loop) return plant::transmitter_mA(machine.plant.oxygen, share);
      return nernst_mV(share, context.cell_degC);
    }
    case Kind::none:
    case Kind::electrical:
    case Kind::converted:
      break;
  }
  return value;
}

double terminal_degC(double ohm) {
  // The quadratic of IEC 60751 above 0 degC, solved.
  constexpr double a = 3.9083e-3;
  constexpr double b = -5.775e-7;
  const double root = a * a - 4.0 * b * (1.0 - ohm / 100.0);
  return root > 0.0 ? (-a + std::sqrt(root)) / (2.0 * b) : 850.0;
}

double cell_degC(double emf_mV, double terminal_degC) {
  const double wanted = emf_mV + plant::emf_type_k_mV(terminal_degC);
  double low = 0.0;
  double high = 1372.0;
  for (int i = 0; i < 40; ++i) {  // rising over the whole range
    const double middle = 0.5 * (low + high);
    (plant::emf_type_k_mV(middle) < wanted ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

double physical_of(AnalogIn point, double counts) {
  const hal::AnalogSpan span = hal::analog_span(point);
  const double zero = static_cast<double>(span.at_zero);
  return zero + counts * ((static_cast<double>(span.at_full) - zero) / 65535.0);
}

}  // namespace ovenproof::replay
