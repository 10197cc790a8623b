#include "sim/replay/judged_properties.hpp"

#include <algorithm>
#include <chrono>
#include <filesystem>
#include <stdexcept>
#include <utility>

#include <fmt/format.h>

#include "hal-mock/converter.hpp"
#include "sim/hazards/hazards.hpp"
#include "sim/machine/text_file.hpp"

namespace ovenproof::replay {
namespace {

using hal::DigitalIn;

bool in_name(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' ||
         c == '.';
}

/// Names of probes in a property's text that the table lacks.
std::vector<std::string> missing_signals(std::string_view text,
                                         const properties::SignalTable& table) {
  std::vector<std::string> missing;
  for (std::size_t at = 0; at < text.size();) {
    std::size_t end = at;
    while (end < text.size() && in_name(text[end])) ++end;
    const std::string name(text.substr(at, end - at));
    at = end + (end == at ? 1 : 0);
    if (rig::find_probe(name) == nullptr || table.find_signal(name)) continue;
    if (std::find(missing.begin(), missing.end(), name) == missing.end()) missing.push_back(name);
  }
  return missing;
}

void add_signal(properties::SignalTable& table, const properties::SignalInfo& info) {
  switch (info.kind) {
    case properties::SignalKind::boolean:
      table.add_boolean(info.name, info.description);
      break;
    case properties::SignalKind::number:
      table.add_number(info.name, info.unit.symbol, info.description);
      break;
    case properties::SignalKind::state:
      table.add_state(info.name, info.labels, info.description);
      break;
  }
}

/// What is wrong with a property, at its place in its file.
machine::Error placed(const NamedProperty& property, const properties::Diagnostic& wrong) {
  machine::Place at = property.at;
  at.line += static_cast<int>(wrong.position.line) - 1;
  at.column = static_cast<int>(wrong.position.column) + (at.column > 0 ? at.column - 1 : 0);
  return {property.file, at, "", wrong.expected, wrong.found, "", {}};
}

}  // namespace

std::variant<std::vector<NamedProperty>, machine::Error> read_properties(
    const std::string& file_or_text, std::size_t number) {
  std::error_code ignored;
  if (!std::filesystem::exists(file_or_text, ignored)) {
    const std::string id = fmt::format("property_{}", number);
    return std::vector<NamedProperty>{
        {id, file_or_text, file_or_text, fmt::format("--property {}", number), {1, 1}}};
  }
  auto text = machine::read_text_file(file_or_text);
  if (auto* error = std::get_if<machine::Error>(&text)) return std::move(*error);
  std::vector<NamedProperty> all;
  std::string_view rest = std::get<std::string>(text);
  for (int line = 1; !rest.empty(); ++line) {
    const std::size_t end = std::min(rest.find('\n'), rest.size());
    std::string_view one = rest.substr(0, end);
    rest.remove_prefix(std::min(end + 1, rest.size()));
    while (!one.empty() && (one.back() == '\r' || one.back() == ' ')) one.remove_suffix(1);
    const std::size_t begin = std::min(one.find_first_not_of(" \t"), one.size());
    one.remove_prefix(begin);
    if (one.empty() || one.front() == '#') continue;
    const std::string name = std::filesystem::path(file_or_text).stem().string();
    all.push_back({fmt::format("{}_{}", name, line),
                   std::string(one),
                   std::string(one),
                   file_or_text,
                   {line, static_cast<int>(begin) + 1}});
  }
  if (all.empty()) {
    return machine::Error{file_or_text, {}, "", "a property in each line", "none", "", {}};
  }
  return all;
}

std::vector<std::optional<JudgedProperties::Source>> JudgedProperties::find_sources(
    const Layout& layout) const {
  std::vector<std::optional<Source>> sources(rig::probes().size());
  for (std::size_t i = 0; i < layout.columns.size(); ++i) {
    const Signal& signal = layout.columns[i].mapping.signal;
    const bool counts = signal.role == Role::analog_in;
    sources[signal.probe] = counts ? Source{Source::Kind::counts, signal.index, 0.0}
                                   : Source{Source::Kind::column, i, 0.0};
  }
  const auto recorded = [&](std::string_view name) {
    return sources[static_cast<std::size_t>(rig::find_probe(name) - rig::probes().data())];
  };
  const auto derive = [&](std::string_view name, Source source) {
    auto& at = sources[static_cast<std::size_t>(rig::find_probe(name) - rig::probes().data())];
    if (!at) at = source;
  };
  const auto derive_from = [&](std::string_view name, DigitalIn point, Source::Kind kind) {
    if (sources[probe_of(point)]) derive(name, {kind, static_cast<std::size_t>(point), 0.0});
  };
  derive_from("hands.start", DigitalIn::start_button, Source::Kind::contact);
  derive_from("hands.stop", DigitalIn::stop_button, Source::Kind::no_contact);
  derive_from("hands.reset", DigitalIn::reset_button, Source::Kind::contact);
  derive_from("hands.estop", DigitalIn::estop_healthy, Source::Kind::no_contact);
  derive("machine.start_by_door",
         {Source::Kind::constant, 0, machine_.settings.options.start_by_door ? 1.0 : 0.0});
  std::vector<std::string_view> actuators{"board.k1", "board.k2", "board.fan", "board.purge_valve",
                                          "board.process_valve"};
  if (machine_.settings.options.jacket_cooling) {
    actuators.insert(actuators.end(), {"board.damper", "board.blower"});
  }
  const bool all = std::all_of(actuators.begin(), actuators.end(),
                               [&](std::string_view name) { return recorded(name).has_value(); });
  if (all) derive("board.anything", {Source::Kind::anything, 0, 0.0});
  return sources;
}

JudgedProperties::JudgedProperties(const machine::Machine& machine, const Layout& layout,
                                   const std::vector<NamedProperty>& further,
                                   std::vector<machine::Error>& errors)
    : machine_(machine) {
  const properties::SignalTable whole =
      hazards::signal_table(rig::Oven{machine.plant, machine.settings, {}, {}});
  properties::SignalTable table;
  const auto sources = find_sources(layout);
  for (std::size_t i = 0; i < sources.size(); ++i) {
    if (!sources[i]) continue;
    add_signal(table, whole.signals()[i]);
    sources_.push_back(*sources[i]);
  }
  for (const properties::ConstantInfo& constant : whole.constants()) {
    table.add_constant(constant.name, constant.value, constant.unit.symbol, constant.description);
  }
  for (std::size_t i = 0; i < layout.columns.size(); ++i) {
    const Signal& signal = layout.columns[i].mapping.signal;
    const bool actuator = signal.role == Role::heater ||
                          (signal.role == Role::coil_out &&
                           signal.index < static_cast<std::size_t>(hal::DigitalOut::run_lamp));
    if (actuator) actuator_columns_.push_back(i);
  }

  std::vector<NamedProperty> all;
  for (const hazards::Hazard& hazard : hazards::default_hazards()) {
    all.push_back({hazard.id, hazard.title, hazard.property(), "", {}});
  }
  all.insert(all.end(), further.begin(), further.end());
  const std::chrono::milliseconds period(machine.settings.scan.period.value);
  for (NamedProperty& property : all) {
    const properties::Compiled checked = properties::compile(property.text, whole, period);
    for (const properties::Diagnostic& wrong : checked.errors) {
      errors.push_back(placed(property, wrong));
    }
    if (!checked.property) continue;
    if (auto missing = missing_signals(property.text, table); !missing.empty()) {
      unjudged_.push_back({std::move(property), std::move(missing)});
      continue;
    }
    properties::Compiled compiled = properties::compile(property.text, table, period);
    if (!compiled.property) {
      throw std::logic_error(
          fmt::format("property {}: {}", property.id, compiled.errors.front().message()));
    }
    properties_.push_back(*compiled.property);
    judged_.push_back(std::move(property));
  }
  row_.resize(sources_.size());
}

void JudgedProperties::start() {
  if (properties_.empty()) return;
  monitors_.emplace(properties_);
  broken_.assign(properties_.size(), false);
}

const std::vector<std::size_t>& JudgedProperties::observe(const std::vector<double>& held,
                                                          const mock::FieldInputs& inputs) {
  fresh_.clear();
  if (!monitors_) return fresh_;
  for (std::size_t i = 0; i < sources_.size(); ++i) {
    const Source& source = sources_[i];
    switch (source.kind) {
      case Source::Kind::column:
        row_[i] = held[source.index];
        break;
      case Source::Kind::contact:
        row_[i] = inputs.closed(static_cast<DigitalIn>(source.index)) ? 1.0 : 0.0;
        break;
      case Source::Kind::no_contact:
        row_[i] = inputs.closed(static_cast<DigitalIn>(source.index)) ? 0.0 : 1.0;
        break;
      case Source::Kind::counts: {
        const auto point = static_cast<hal::AnalogIn>(source.index);
        row_[i] = mock::counts_of(point, inputs.value(point));
        break;
      }
      case Source::Kind::constant:
        row_[i] = source.value;
        break;
      case Source::Kind::anything:
        row_[i] = std::any_of(actuator_columns_.begin(), actuator_columns_.end(),
                              [&](std::size_t column) { return held[column] != 0.0; })
                      ? 1.0
                      : 0.0;
        break;
    }
  }
  if (!monitors_->step(row_)) return fresh_;
  for (std::size_t i = 0; i < properties_.size(); ++i) {
    if (broken_[i] || monitors_->standing(i) != properties::Outcome::violated) continue;
    broken_[i] = true;
    fresh_.push_back(i);
  }
  return fresh_;
}

}  // namespace ovenproof::replay
