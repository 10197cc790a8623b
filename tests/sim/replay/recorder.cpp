#include "recorder.hpp"

#include <algorithm>
#include <array>
#include <iterator>
#include <stdexcept>

#include <fmt/format.h>

#include "sim/cycle/attendant.hpp"
#include "sim/machine/load.hpp"

namespace ovenproof::test {
namespace {

using hal::DigitalIn;
using hal::DigitalOut;

constexpr std::array<std::string_view, hal::digital_in_count> contact_columns{
    "Door 1",     "Door 2",      "Start",       "Stop OK",      "Reset",   "E-stop OK",
    "Limiter OK", "Gas OK",      "Purge flow",  "Process flow", "Airflow", "K1 dropped",
    "K2 dropped", "Damper open", "Damper shut", "Cooling air"};
constexpr std::array<std::string_view, hal::digital_out_count> coil_columns{
    "K1", "K2", "Fan", "Purge valve", "Process valve", "Damper", "Blowers", "Run", "Fault", "Horn"};

std::string time_text(std::uint64_t ms, RecorderStyle::Time format) {
  const std::uint64_t h = ms / 3'600'000;
  const std::uint64_t min = ms / 60'000 % 60;
  const std::uint64_t s = ms / 1000 % 60;
  switch (format) {
    case RecorderStyle::Time::seconds:
      return fmt::format("{}.{:03}", ms / 1000, ms % 1000);
    case RecorderStyle::Time::milliseconds:
      return fmt::format("{}", ms);
    case RecorderStyle::Time::iso8601:
      return fmt::format("2031-05-02T{:02}:{:02}:{:02}.{:03}Z", 6 + h, min, s, ms % 1000);
    case RecorderStyle::Time::clock:
      // Past midnight after two minutes: a clock knows no date.
      return fmt::format("{}:{:02}:{:02}.{:03}", (ms + 86'280'000) / 3'600'000 % 24,
                         (ms + 86'280'000) / 60'000 % 60, s, ms % 1000);
  }
  return "";
}

/// A cycle of the bronze strip oven.
std::string nominal_log() {
  Recorder recorder({}, true);
  run_attended(
      demo_machine("bronze_strip_160"), 1e6, [](rig::Rig&) {},
      [&](const rig::Rig& rig) { recorder.observe(rig); });
  return recorder.text();
}

/// The wire of the fan contactor touches 24 V for a while, in standby.
std::string wiring_fault_log() {
  Recorder recorder({';', ',', RecorderStyle::Time::clock, 15'000, "\r\n"}, false);
  run_attended(
      demo_machine("coil_anneal_300"), 1800.0,
      [](rig::Rig& rig) {
        if (rig.now_ms() != 0) return;
        mock::SignalFault fault{.point = DigitalOut::fan,
                                .effect = mock::StuckAt{1.0},
                                .onset_ms = 100'000,
                                .end_ms = 140'000};
        rig.board().inject(fault);
      },
      [&](const rig::Rig& rig) { recorder.observe(rig); });
  return recorder.text();
}

/// The purge valve does not close after purging: gas flows that nobody commanded.
std::string passing_valve_log() {
  Recorder recorder({.time = RecorderStyle::Time::seconds, .every_ms = 15'000}, true);
  run_attended(
      demo_machine("bronze_strip_160"), 2100.0,
      [](rig::Rig& rig) {
        if (rig.now_ms() == 0) {
          rig.inject({.fault = plant::Fault::purge_valve_stuck_open, .onset_ms = 1'000'000});
        }
      },
      [&](const rig::Rig& rig) { recorder.observe(rig); });
  return recorder.text();
}

/// Deterministic and plain: a row of 0..n-1 without order.
std::uint64_t scrambled(std::uint64_t i) {
  i = (i ^ (i >> 31)) * 0x9E3779B97F4A7C15U;
  return i ^ (i >> 29);
}

/// Two power-ups with half an hour between, irregular rows, some twice, some cells without a value.
std::string irregular_log() {
  Recorder recorder({.time = RecorderStyle::Time::milliseconds, .every_ms = 7'000}, true);
  const machine::Machine machine = demo_machine("bronze_strip_160");
  for (const std::uint64_t since_ms : {std::uint64_t{0}, std::uint64_t{2'400'000}}) {
    run_attended(
        machine, 600.0, [](rig::Rig&) {},
        [&](const rig::Rig& rig) { recorder.observe(rig, since_ms); });
  }
  std::string text;
  std::string_view rest = recorder.text();
  for (std::uint64_t line = 0; !rest.empty(); ++line) {
    std::string row(rest.substr(0, rest.find('\n')));
    rest.remove_prefix(row.size() + 1);
    if (line > 3 && scrambled(line) % 9 == 0) {
      // The second thermocouple is the last but three.
      const std::size_t end = row.rfind(',', row.rfind(',', row.rfind(',') - 1) - 1);
      const std::size_t begin = row.rfind(',', end - 1) + 1;
      row.replace(begin, end - begin, scrambled(line) % 2 == 0 ? "" : "NaN");
    }
    text += row + '\n';
    if (line > 3 && scrambled(line + 7) % 17 == 0) text += row + '\n';
  }
  return text;
}

}  // namespace

Recorder::Recorder(RecorderStyle style, bool oxygen) : style_(std::move(style)), oxygen_(oxygen) {
  text_ = style_.time == RecorderStyle::Time::milliseconds ? "Time [ms]"
          : style_.time == RecorderStyle::Time::seconds    ? "Time [s]"
                                                           : "Time";
  const auto add = [this](std::string_view name) {
    text_ += style_.delimiter;
    text_ += name;
  };
  for (const std::string_view name : contact_columns) add(name);
  for (const std::string_view name : coil_columns) add(name);
  add("Heater %");
  add("Chamber A");
  add("Chamber B");
  add("Terminals");
  if (oxygen_) {
    add("Cell");
    add("Oxygen");
  }
  text_ += style_.line_end;
}

void Recorder::observe(const rig::Rig& rig, std::uint64_t since_ms) {
  std::string contacts;
  const hal::InputImage inputs = rig.board().input_image();
  for (std::size_t i = 0; i < hal::digital_in_count; ++i) {
    contacts += style_.delimiter;
    contacts += inputs.energised(static_cast<DigitalIn>(i)) ? '1' : '0';
  }
  const mock::FieldOutputs& outputs = rig.board().field_outputs();
  for (std::size_t i = 0; i < hal::digital_out_count; ++i) {
    contacts += style_.delimiter;
    contacts += outputs.energised(static_cast<DigitalOut>(i)) ? '1' : '0';
  }
  const std::uint64_t ms = rig.now_ms() + since_ms;
  if (contacts == last_ && ms < next_ms_) return;
  last_ = contacts;
  next_ms_ = ms + style_.every_ms;
  text_ += time_text(ms, style_.time) + contacts;
  const auto add = [this](double value, int digits) {
    std::string text = fmt::format("{:.{}g}", value, digits);
    std::replace(text.begin(), text.end(), '.', style_.decimal);
    text_ += style_.delimiter + text;
  };
  const conditioning::AnalogFrontEnd& analog = rig.controller().instruments().analog();
  add(outputs.heater_permille / 10.0, 4);
  add(double{analog.te_a().value.value}, 6);
  add(double{analog.te_b().value.value}, 6);
  add(double{analog.cold_junction().value.value}, 6);
  if (oxygen_) {
    add(double{analog.cell_temperature().value.value}, 6);
    add(double{analog.oxygen().value.value}, 6);
  }
  text_ += style_.line_end;
}

machine::Machine demo_machine(const std::string& name) {
  const auto loaded =
      machine::load_file(std::string(SOURCE_DIR) + "/scenarios/machines/" + name + ".yaml");
  if (!std::holds_alternative<machine::Machine>(loaded)) {
    throw std::runtime_error("no demo machine " + name);
  }
  return std::get<machine::Machine>(loaded);
}

void run_attended(const machine::Machine& machine, double most_s,
                  const std::function<void(rig::Rig&)>& meddle,
                  const std::function<void(const rig::Rig&)>& observe) {
  rig::Rig rig(rig::Oven{machine.plant, machine.settings, {}, {}});
  cycle::Plan plan;
  plan.cycles = 1;
  cycle::Attendant attendant(plan);
  constexpr std::uint64_t linger_ms = 60'000;
  std::uint64_t done_ms = 0;
  while (static_cast<double>(rig.now_ms()) < most_s * 1000.0) {
    if (!attendant.done()) {
      attendant.act(rig);
      done_ms = rig.now_ms();
    } else if (rig.now_ms() >= done_ms + linger_ms) {
      break;
    }
    meddle(rig);
    rig.step();
    observe(rig);
  }
}

std::vector<std::pair<std::string, std::string>> example_logs() {
  return {{"nominal.csv", nominal_log()},
          {"wiring_fault.csv", wiring_fault_log()},
          {"passing_valve.csv", passing_valve_log()},
          {"irregular.csv", irregular_log()}};
}

}  // namespace ovenproof::test
