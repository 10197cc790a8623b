#include <algorithm>
#include <cmath>
#include <optional>

#include <doctest/doctest.h>

#include "firmware/conditioning/oxygen_cell.hpp"
#include "hal-mock/converter.hpp"
#include "recorder.hpp"
#include "sim/replay/comparison.hpp"
#include "sim/replay/mapping.hpp"
#include "sim/replay/reading_unit.hpp"
#include "sim/replay/timestamp.hpp"
#include "sim/rig/field_wiring.hpp"

using namespace ovenproof;
using namespace ovenproof::replay;

TEST_CASE("times are read in every format, and nothing else is") {
  CHECK(parse_time("12.25", TimeFormat::seconds, '.') == 12'250);
  CHECK(parse_time("12,25", TimeFormat::seconds, ',') == 12'250);
  CHECK(parse_time("12250", TimeFormat::milliseconds, '.') == 12'250);
  CHECK(parse_time("1:02:03.4567", TimeFormat::clock, '.') == 3'723'457);
  // 2031-05-02 is day 22401 since 1970-01-01 (61 years of 365 days, 15 leap days, 121 days).
  const std::int64_t day = 22'401LL * 86'400'000;
  CHECK(parse_time("2031-05-02T00:00:01Z", TimeFormat::iso8601, '.') == day + 1000);
  CHECK(parse_time("2031-05-02 02:00:01,5+02:00", TimeFormat::iso8601, '.') == day + 1500);
  CHECK(format_time(day + 1500, TimeFormat::iso8601) == "2031-05-02T00:00:01.500Z");
  for (const char* text : {"", "2031-02-30T00:00:00Z", "2031-05-02", "2031-05-02T00:61:00Z",
                           "2031-05-02T00:00:00+2", "1:2:3"}) {
    CAPTURE(text);
    CHECK_FALSE(parse_time(text, TimeFormat::iso8601, '.'));
    CHECK_FALSE(parse_time(text, TimeFormat::clock, '.'));
  }
  for (const char* text : {"", "inf", "nan", "0x10", "1e999", "1.2.3", "1,5", "--1", "+-1", "1 "}) {
    CAPTURE(text);
    CHECK_FALSE(parse_number(text, '.'));
  }
  CHECK(parse_number("1,5", 0) == 1.5);
  CHECK_FALSE(parse_number("1.234,5", 0));
}

TEST_CASE("counts come back as they were, on every input and count") {
  for (std::size_t i = 0; i < hal::analog_in_count; ++i) {
    const auto point = static_cast<hal::AnalogIn>(i);
    for (int count = 0; count <= 65535; ++count) {
      REQUIRE(mock::counts_of(point, physical_of(point, count)) == count);
    }
  }
}

TEST_CASE("engineering values reach the terminals through the sensors of the machine") {
  const machine::Machine machine = test::demo_machine("bronze_strip_160");
  const auto unit = [](hal::AnalogIn point, const char* symbol) {
    const auto found = reading_unit(signal_of(probe_of(point)), symbol);
    REQUIRE(found);
    return *found;
  };
  using hal::AnalogIn;
  const SensorContext context{0.0, 750.0};
  // Type K at 500 degC against 0 degC: 20.644 mV (IEC 60584-1, table for type K).
  REQUIRE(machine.plant.thermocouples.type == plant::ThermocoupleType::k);
  CHECK(at_terminals(AnalogIn::te_a, unit(AnalogIn::te_a, "degC"), 500.0, machine, context) ==
        doctest::Approx(20.644).epsilon(1e-4));
  CHECK(at_terminals(AnalogIn::te_a, unit(AnalogIn::te_a, "K"), 773.15, machine, context) ==
        doctest::Approx(20.644).epsilon(1e-4));
  // Pt100 at 100 degC: 138.51 ohm (IEC 60751).
  CHECK(at_terminals(AnalogIn::cold_junction, unit(AnalogIn::cold_junction, "degC"), 100.0, machine,
                     context) == doctest::Approx(138.51).epsilon(1e-4));
  // What the cell is given, the firmware's own Nernst equation reads back.
  for (const double ppm : {1.0, 50.0, 1000.0, 209'500.0}) {
    const double mV = at_terminals(AnalogIn::oxygen_cell, unit(AnalogIn::oxygen_cell, "ppm"), ppm,
                                   machine, context);
    const Ppm read =
        conditioning::nernst_oxygen(Millivolts(static_cast<float>(mV)), Celsius(750.0F));
    CHECK(double{read.value} == doctest::Approx(ppm).epsilon(1e-3));
  }
  for (double t = -20.0; t <= 100.0; t += 5.0) {
    CHECK(std::fabs(terminal_degC(rig::pt100_ohm(t)) - t) < 0.01);
  }
  CHECK_FALSE(reading_unit(signal_of(probe_of(AnalogIn::te_a)), "ppm"));
  CHECK_FALSE(reading_unit(signal_of(probe_of(AnalogIn::oxygen_cell)), "degC"));
  CHECK_FALSE(reading_unit(signal_of(probe_of(hal::DigitalIn::door_closed_1)), "mV"));
}

TEST_CASE("a mapping with many mistakes gets an error for each, with its place") {
  const machine::Machine machine = test::demo_machine("bronze_strip_160");
  const LoadedMapping loaded = parse_mapping(
      "time: {column: T, format: fortnights}\n"
      "header_line: 0\n"
      "delimiter: \"xy\"\n"
      "decimal: \"'\"\n"
      "between_rows: guess\n"
      "colums: {}\n"
      "columns:\n"
      "  A: input.door_closed_9\n"
      "  B: {signal: input.te_a, unit: ppm}\n"
      "  C: {signal: input.te_b, unit: degC, scale: many}\n"
      "  D: {signal: board.k1, scale: 2}\n"
      "  E: {unit: degC}\n"
      "  F: board.fan\n"
      "  G: board.fan\n"
      "assume: {input.cold_junction: warm, board.k1: 1}\n",
      "m.yaml", machine);
  REQUIRE(std::holds_alternative<std::vector<machine::Error>>(loaded));
  const auto& errors = std::get<std::vector<machine::Error>>(loaded);
  const std::vector<std::pair<int, std::string>> expected{
      {1, "expected s, ms, iso8601, clock or auto"},
      {2, "a whole number from 1 to 100"},
      {3, "delimiter"},
      {4, "decimal"},
      {5, "line or hold"},
      {6, "did you mean columns?"},
      {8, "did you mean input.door_closed_1?"},
      {9, "degC, K, mV or counts"},
      {10, "a decimal number"},
      {11, "scale and offset for numbers only"},
      {12, "the key signal"},
      {14, "each signal once"},
      {15, "assume.input.cold_junction"},
      {15, "an input of the controller"}};
  CHECK(errors.size() == expected.size());
  for (const auto& [line, text] : expected) {
    CAPTURE(text);
    CHECK(std::any_of(errors.begin(), errors.end(), [&, l = line, t = text](const auto& error) {
      return error.at.line == l && machine::to_text(error).find(t) != std::string::npos;
    }));
  }
}

TEST_CASE("the shipped mapping of a trace covers every input and output, as by name") {
  const machine::Machine machine = test::demo_machine("bronze_strip_160");
  const LoadedMapping loaded =
      load_mapping(std::string(SOURCE_DIR) + "/scenarios/logs/trace_mapping.yaml", machine);
  REQUIRE(std::holds_alternative<Mapping>(loaded));
  const auto& mapping = std::get<Mapping>(loaded);
  for (std::size_t probe = 0; probe < rig::probes().size(); ++probe) {
    CAPTURE(rig::probes()[probe].name);
    const bool mapped =
        std::any_of(mapping.columns.begin(), mapping.columns.end(),
                    [probe](const ColumnMapping& each) { return each.signal.probe == probe; });
    CHECK((mapped || signal_of(probe).role == Role::other));
  }
  for (const ColumnMapping& column : mapping.columns) {
    const auto named = by_name(column.column, machine);
    REQUIRE(named);
    CHECK(named->signal == column.signal);
    CHECK(named->unit.kind == column.unit.kind);
  }
}

namespace {

/// Compares Q1: the firmware switches it on at `firmware_ms`, the recording at `recorded_ms`, with
/// a row each 100 ms and a scan each 10 ms.
std::size_t differences(std::int64_t firmware_ms, std::int64_t recorded_ms,
                        std::int64_t tolerance) {
  Comparison comparison(
      {{signal_of(static_cast<std::size_t>(rig::find_probe("board.k1") - rig::probes().data())),
        0}},
      {tolerance, 0.05});
  comparison.start(true);
  for (std::int64_t ms = 0; ms <= 10'000; ms += 10) {
    mock::FieldOutputs outputs;
    outputs.coils = ms >= firmware_ms ? 1U : 0U;
    comparison.observe(ms, outputs, logic::Phase::standby, logic::Cause::none);
    if (ms % 100 == 0) comparison.sample(ms, 1, {ms >= recorded_ms ? 1.0 : 0.0});
  }
  comparison.stop();
  return comparison.take_ended().size();
}

}  // namespace

TEST_CASE("a change within the tolerance is no difference, one beyond it is") {
  for (const std::int64_t tolerance : {0, 120, 500}) {
    CAPTURE(tolerance);
    CHECK(differences(5000, 5000, tolerance) == 0);
    CHECK(differences(5000 - tolerance, 5000, tolerance) == 0);
    CHECK(differences(5000 + tolerance, 5000, tolerance) == 0);
    CHECK(differences(5000 - tolerance - 200, 5000, tolerance) == 1);
    CHECK(differences(5000 + tolerance + 200, 5000, tolerance) == 1);
  }
}

namespace {

/// Nothing is driven; the recording agrees but from `differs_ms` on, if at all.
std::optional<std::int64_t> in_step_since(std::string_view output, logic::Phase phase,
                                          std::int64_t differs_ms) {
  const auto probe = static_cast<std::size_t>(rig::find_probe(output) - rig::probes().data());
  Comparison comparison({{signal_of(probe), 0}}, {20, 0.05});
  comparison.start(false);
  for (std::int64_t ms = 0; ms <= 5000; ms += 10) {
    comparison.observe(ms, {}, phase, logic::Cause::none);
    comparison.sample(ms, 1, {ms >= differs_ms ? 1.0 : 0.0});
  }
  comparison.stop();
  return comparison.in_step_since();
}

}  // namespace

TEST_CASE("in step is who agrees for a second and cannot be tripped unseen") {
  constexpr std::int64_t never = 1'000'000;
  CHECK(in_step_since("board.fan", logic::Phase::standby, never) == 0);
  CHECK(in_step_since("board.fan", logic::Phase::standby, 1500) == 0);
  CHECK_FALSE(in_step_since("board.fan", logic::Phase::standby, 500));
  CHECK_FALSE(in_step_since("board.fan", logic::Phase::tripped, never));
  CHECK(in_step_since("board.fault_lamp", logic::Phase::tripped, never) == 0);
}
