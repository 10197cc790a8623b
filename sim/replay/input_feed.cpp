#include "sim/replay/input_feed.hpp"

#include <cmath>
#include <utility>

#include <fmt/format.h>

namespace ovenproof::replay {
namespace {

using hal::AnalogIn;
using hal::DigitalIn;
using hal::DigitalOut;

/// An assumed press of the reset button: without it the firmware would wait for ever after its
/// start.
constexpr std::int64_t reset_from_ms = 1000;
constexpr std::int64_t reset_until_ms = 1500;

std::optional<std::pair<DigitalOut, bool>> answers_to(DigitalIn point) {
  using Answer = std::pair<DigitalOut, bool>;
  switch (point) {
    case DigitalIn::purge_flow:
      return Answer{DigitalOut::purge_valve, true};
    case DigitalIn::process_flow:
      return Answer{DigitalOut::process_valve, true};
    case DigitalIn::fan_running:
      return Answer{DigitalOut::fan, true};
    case DigitalIn::k1_open:
      return Answer{DigitalOut::k1, false};
    case DigitalIn::k2_open:
      return Answer{DigitalOut::k2, false};
    case DigitalIn::damper_open:
      return Answer{DigitalOut::damper, true};
    case DigitalIn::damper_closed:
      return Answer{DigitalOut::damper, false};
    case DigitalIn::blower_running:
      return Answer{DigitalOut::blower, true};
    default:
      return std::nullopt;
  }
}

std::string_view output_name(DigitalOut point) {
  for (std::size_t i = 0; i < rig::probes().size(); ++i) {
    const Signal signal = signal_of(i);
    if (signal.role == Role::coil_out && signal.index == static_cast<std::size_t>(point)) {
      return name_of(signal);
    }
  }
  return "";
}

}  // namespace

InputFeed::InputFeed(const machine::Machine& machine, const Mapping& mapping, const Layout& layout,
                     const Survey& survey, const std::string& file,
                     std::vector<machine::Error>& errors)
    : machine_(machine), mapping_(mapping), layout_(layout), survey_(survey) {
  held_.resize(layout.columns.size());
  const machine::Place header = layout.head.names.front().at;
  for (std::size_t i = 0; i < hal::digital_in_count; ++i) {
    choose_contact(static_cast<DigitalIn>(i));
  }
  for (std::size_t i = 0; i < hal::analog_in_count; ++i) {
    choose_analog(static_cast<AnalogIn>(i), file, header, errors);
  }
}

std::optional<std::size_t> InputFeed::column_of(std::size_t probe) const {
  for (std::size_t i = 0; i < layout_.columns.size(); ++i) {
    if (layout_.columns[i].mapping.signal.probe == probe && survey_.columns[i].first) return i;
  }
  return std::nullopt;
}

void InputFeed::assume(std::size_t probe, std::string text) {
  const Signal signal = signal_of(probe);
  if (!machine::has_part(signal.part, machine_.settings.options)) return;
  assumptions_.push_back({signal, std::move(text)});
}

void InputFeed::choose_contact(DigitalIn point) {
  const std::size_t probe = probe_of(point);
  Contact& contact = contacts_[static_cast<std::size_t>(point)];
  if (const auto column = column_of(probe)) {
    contact = {Source::column, *column, false};
    return;
  }
  if (const auto given = mapping_.assumed.find(probe); given != mapping_.assumed.end()) {
    contact = {Source::constant, 0, given->second.value != 0.0};
    assume(probe, fmt::format("{}, by the mapping file", contact.level ? 1 : 0));
    return;
  }
  if (const auto answer = answers_to(point)) {
    contact = {answer->second ? Source::output : Source::no_output,
               static_cast<std::size_t>(answer->first), false};
    assume(probe,
           fmt::format("{} {}, the firmware's own", answer->second ? "as" : "the opposite of",
                       output_name(answer->first)));
    return;
  }
  const std::size_t first_door = probe_of(DigitalIn::door_closed_1);
  if (point == DigitalIn::door_closed_2 && column_of(first_door)) {
    contact = {Source::other_input, static_cast<std::size_t>(DigitalIn::door_closed_1), false};
    assume(probe, "as input.door_closed_1");
    return;
  }
  if (point == DigitalIn::reset_button) {
    contact = {Source::pulse, 0, false};
    assume(probe, "pressed for 0.5 s, 1 s after each start of the firmware");
    return;
  }
  contact = {Source::constant, 0, point != DigitalIn::start_button};
  assume(probe, contact.level ? "1 (healthy) throughout" : "0 (not pressed) throughout");
}

void InputFeed::choose_analog(AnalogIn point, const std::string& file, machine::Place header,
                              std::vector<machine::Error>& errors) {
  const std::size_t probe = probe_of(point);
  const Signal signal = signal_of(probe);
  Analog& analog = analogs_[static_cast<std::size_t>(point)];
  const auto constant = [&](double value, std::string_view unit, std::string text) {
    analog.value = value;
    analog.unit = *reading_unit(signal, unit);
    assume(probe, std::move(text));
  };
  if (const auto column = column_of(probe)) {
    analog.source = Source::column;
    analog.from = *column;
    return;
  }
  if (const auto given = mapping_.assumed.find(probe); given != mapping_.assumed.end()) {
    analog.value = given->second.value;
    analog.unit = given->second.unit;
    assume(probe, fmt::format("{}, by the mapping file", machine::shown(given->second.text)));
    return;
  }
  if (point == AnalogIn::cold_junction) return constant(25.0, "degC", "25 degC throughout");
  if (point == AnalogIn::oxygen_cell_tc) {
    const double set = double{machine_.settings.oxygen.cell_temperature.value};
    return constant(set, "degC", fmt::format("{:g} degC throughout, its set temperature", set));
  }
  if (point == AnalogIn::te_b && column_of(probe_of(AnalogIn::te_a))) {
    analog.source = Source::other_input;
    analog.from = static_cast<std::size_t>(AnalogIn::te_a);
    assume(probe, "as input.te_a");
    return;
  }
  if (!machine::has_part(signal.part, machine_.settings.options)) {
    analog.unit = *reading_unit(signal, "counts");
    return;
  }
  errors.push_back({file,
                    header,
                    std::string(name_of(signal)),
                    "a column with values for it",
                    "none",
                    "it cannot be made up: give it under assume in a mapping file",
                    {}});
}

void InputFeed::to_terminals(const std::vector<double>& values, double Analog::*into) {
  SensorContext context;
  context.cell_degC = double{machine_.settings.oxygen.cell_temperature.value};
  const auto convert = [&](AnalogIn point) {
    Analog& analog = analogs_[static_cast<std::size_t>(point)];
    const bool recorded = analog.source == Source::column;
    if (analog.source == Source::other_input) {
      analog.*into = analogs_[analog.from].*into;
      return;
    }
    const ReadingUnit& unit = recorded ? layout_.columns[analog.from].mapping.unit : analog.unit;
    const double value = recorded ? values[analog.from] : analog.value;
    analog.*into = at_terminals(point, unit, value, machine_, context);
  };
  // What the others are converted with comes first.
  convert(AnalogIn::cold_junction);
  context.terminal_degC =
      terminal_degC(analogs_[static_cast<std::size_t>(AnalogIn::cold_junction)].*into);
  convert(AnalogIn::oxygen_cell_tc);
  const double cell_mV = analogs_[static_cast<std::size_t>(AnalogIn::oxygen_cell_tc)].*into;
  if (machine_.settings.options.oxygen_sensor == settings::OxygenSensor::zirconia_cell) {
    context.cell_degC = cell_degC(cell_mV, context.terminal_degC);
  }
  for (const AnalogIn point :
       {AnalogIn::te_a, AnalogIn::te_b, AnalogIn::oxygen_cell, AnalogIn::oxygen_loop}) {
    convert(point);
  }
}

void InputFeed::take(const Sample& sample, bool restart) {
  for (std::size_t i = 0; i < held_.size(); ++i) {
    if (!std::isnan(sample.values[i])) {
      held_[i] = sample.values[i];
    } else if (restart) {
      held_[i] = survey_.columns[i].first.value_or(0.0);
    }
  }
  now_ms_ = sample.ms;
  next_ms_ = sample.ms;
  to_terminals(held_, &Analog::now);
}

void InputFeed::look_ahead(const Sample& next) {
  if (mapping_.hold_analog) return;
  ahead_ = held_;
  for (std::size_t i = 0; i < ahead_.size(); ++i) {
    if (!std::isnan(next.values[i])) ahead_[i] = next.values[i];
  }
  next_ms_ = next.ms;
  to_terminals(ahead_, &Analog::next);
}

mock::FieldInputs InputFeed::at(std::int64_t ms, const mock::FieldOutputs& outputs,
                                std::int64_t since_start_ms) const {
  mock::FieldInputs inputs;
  for (std::size_t i = 0; i < contacts_.size(); ++i) {
    const auto point = static_cast<DigitalIn>(i);
    const Contact& contact = contacts_[i];
    switch (contact.source) {
      case Source::constant:
        inputs.set(point, contact.level);
        break;
      case Source::column:
        inputs.set(point, held_[contact.from] != 0.0);
        break;
      case Source::output:
        inputs.set(point, outputs.energised(static_cast<DigitalOut>(contact.from)));
        break;
      case Source::no_output:
        inputs.set(point, !outputs.energised(static_cast<DigitalOut>(contact.from)));
        break;
      case Source::other_input:  // always one that comes before
        inputs.set(point, inputs.closed(static_cast<DigitalIn>(contact.from)));
        break;
      case Source::pulse:
        inputs.set(point, since_start_ms >= reset_from_ms && since_start_ms < reset_until_ms);
        break;
    }
  }
  const double share = next_ms_ > now_ms_ ? static_cast<double>(ms - now_ms_) /
                                                static_cast<double>(next_ms_ - now_ms_)
                                          : 0.0;
  for (std::size_t i = 0; i < analogs_.size(); ++i) {
    const Analog& analog = analogs_[i];
    const double value = share > 0.0 ? analog.now + (analog.next - analog.now) * share : analog.now;
    inputs.set(static_cast<AnalogIn>(i), value);
  }
  return inputs;
}

}  // namespace ovenproof::replay
