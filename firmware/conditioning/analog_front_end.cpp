#include "firmware/conditioning/analog_front_end.hpp"

namespace ovenproof::conditioning {

void AnalogFrontEnd::evaluate(const hal::InputImage& image, Milliseconds interval,
                              const AnalogLimits& limits) {
  using hal::AnalogIn;
  cold_junction_ =
      conditioning::cold_junction(count(image, AnalogIn::cold_junction), limits.cold_junction);
  te_a_ = thermocouple(AnalogIn::te_a, count(image, AnalogIn::te_a), limits.control_type,
                       cold_junction_, limits.control);
  if (limits.control_sensors >= 2) {
    te_b_ = thermocouple(AnalogIn::te_b, count(image, AnalogIn::te_b), limits.control_type,
                         cold_junction_, limits.control);
  }
  switch (limits.oxygen_sensor) {
    case OxygenSensor::cell:
      cell_temperature_ =
          thermocouple(AnalogIn::oxygen_cell_tc, count(image, AnalogIn::oxygen_cell_tc),
                       ThermocoupleType::K, cold_junction_, limits.cell_thermocouple);
      oxygen_count_ = count(image, AnalogIn::oxygen_cell);
      oxygen_ = cell_.update(oxygen_count_, cell_temperature_, interval, limits.cell);
      break;
    case OxygenSensor::loop:
      oxygen_count_ = count(image, AnalogIn::oxygen_loop);
      oxygen_ = loop_.update(oxygen_count_, interval, limits.loop);
      break;
    case OxygenSensor::none:
      break;
  }
}

void AnalogFrontEnd::mark_stale() {
  const auto mark = [](auto& reading) {
    if (reading.reason != Reason::no_value_yet) reading.reason = Reason::stale;
  };
  mark(cold_junction_);
  mark(te_a_);
  mark(te_b_);
  mark(cell_temperature_);
  mark(oxygen_);
  // What happened meanwhile is not known: no held value, no settled cell.
  medians_ = {};
  cell_ = {};
  loop_ = {};
}

}  // namespace ovenproof::conditioning
