#include <bit>
#include <cmath>
#include <cstdint>
#include <initializer_list>

#include <doctest/doctest.h>

#include "firmware/conditioning/counts.hpp"
#include "firmware/conditioning/current_loop.hpp"
#include "firmware/conditioning/oxygen_cell.hpp"
#include "firmware/conditioning/pt100.hpp"
#include "firmware/conditioning/thermocouple.hpp"

// All 65,536 counts of every analogue input: finite, monotone, valid exactly where documented.

using namespace ovenproof;
using namespace ovenproof::conditioning;
using hal::AnalogIn;

namespace {

/// What a sweep over all counts found. Conversion: count -> Reading; expected: count -> Reason.
struct Sweep {
  int not_finite = 0;
  int falls = 0;               ///< value lower than at the count before
  int stands_while_valid = 0;  ///< equal to the count before, both valid
  int wrong_reason = 0;
  int first_wrong = -1;
  int valid = 0;
};

template <class Convert, class Expected>
Sweep sweep(Convert convert, Expected expected, bool rising = true) {
  Sweep found;
  float before = 0.0F;
  bool before_valid = false;
  for (int count = 0; count <= 65535; ++count) {
    const auto reading = convert(static_cast<std::uint16_t>(count));
    const float value = reading.value.value;
    if (!std::isfinite(value)) ++found.not_finite;
    if (count > 0 && (rising ? value < before : value > before)) ++found.falls;
    if (before_valid && reading.valid() && value == before) ++found.stands_while_valid;
    if (reading.reason != expected(static_cast<std::uint16_t>(count), value)) {
      ++found.wrong_reason;
      if (found.first_wrong < 0) found.first_wrong = count;
    }
    if (reading.valid()) ++found.valid;
    before = value;
    before_valid = reading.valid();
  }
  return found;
}

void check_clean(const Sweep& found) {
  CAPTURE(found.first_wrong);
  CHECK(found.not_finite == 0);
  CHECK(found.falls == 0);
  CHECK(found.stands_while_valid == 0);
  CHECK(found.wrong_reason == 0);
  CHECK(found.valid > 1000);
  CHECK(found.valid < 65536);
}

double signal(AnalogIn point, std::uint16_t count) {
  const hal::AnalogSpan span = hal::analog_span(point);
  return span.at_zero + (static_cast<double>(span.at_full) - span.at_zero) * count / 65535.0;
}

}  // namespace

TEST_CASE("every count of every input is scaled to its span within float32") {
  for (std::size_t p = 0; p < hal::analog_in_count; ++p) {
    const auto point = static_cast<AnalogIn>(p);
    double worst = 0.0;
    float before = -1e9F;
    int not_rising = 0;
    for (int count = 0; count <= 65535; ++count) {
      const auto c = static_cast<std::uint16_t>(count);
      const float got = physical(point, c);
      worst = std::fmax(worst, std::fabs(got - signal(point, c)));
      if (!(got > before)) ++not_rising;
      before = got;
    }
    CAPTURE(p);
    CHECK(worst < 5e-5);
    CHECK(not_rising == 0);
  }
}

TEST_CASE("every count of every thermocouple input, both types, any cold junction") {
  const ThermocoupleLimits limits{};
  for (const AnalogIn point : {AnalogIn::te_a, AnalogIn::te_b, AnalogIn::oxygen_cell_tc}) {
    for (const ThermocoupleType type : {ThermocoupleType::K, ThermocoupleType::N}) {
      for (const float junction : {-20.0F, 0.0F, 25.0F, 80.0F}) {
        const Reading<Celsius> cj{Celsius(junction), Reason::none};
        const auto found =
            sweep([&](std::uint16_t count) { return thermocouple(point, count, type, cj, limits); },
                  [](std::uint16_t count, float degC) {
                    if (signal(AnalogIn::te_a, count) >= 79.55) return Reason::open_circuit;
                    if (degC < -20.0F) return Reason::under_range;
                    if (degC > 1100.0F) return Reason::over_range;
                    return Reason::none;
                  });
        CAPTURE(static_cast<int>(type));
        CAPTURE(junction);
        check_clean(found);
      }
    }
  }
}

TEST_CASE("no count of a thermocouple input is valid without a valid cold junction") {
  const Reading<Celsius> broken{Celsius(25.0F), Reason::short_circuit};
  const auto found = sweep(
      [&](std::uint16_t count) {
        return thermocouple(AnalogIn::te_a, count, ThermocoupleType::K, broken, {});
      },
      [](std::uint16_t count, float) {
        return count >= open_circuit_count ? Reason::open_circuit : Reason::cold_junction;
      });
  CHECK(found.valid == 0);
  CHECK(found.wrong_reason == 0);
  CHECK(found.not_finite == 0);
}

TEST_CASE("every count of the cold junction") {
  const ColdJunctionLimits limits{};
  check_clean(sweep([&](std::uint16_t count) { return cold_junction(count, limits); },
                    [](std::uint16_t count, float degC) {
                      const double ohm = signal(AnalogIn::cold_junction, count);
                      if (ohm >= 144.675) return Reason::open_circuit;  // 99.5 % of the span
                      if (ohm <= 80.325) return Reason::short_circuit;  // 0.5 %
                      if (degC < -20.0F) return Reason::under_range;
                      if (degC > 80.0F) return Reason::over_range;
                      return Reason::none;
                    }));
}

TEST_CASE("every count of the oxygen cell, at the ends and the middle of its band") {
  const OxygenCellLimits limits{.settle_time = Milliseconds(0)};
  for (const float degC : {735.0F, 750.0F, 765.0F}) {
    const Reading<Celsius> temperature{Celsius(degC), Reason::none};
    check_clean(sweep(
        [&](std::uint16_t count) {
          OxygenCell cell;
          return cell.update(count, temperature, Milliseconds(0), limits);
        },
        [](std::uint16_t count, float ppm) {
          if (signal(AnalogIn::oxygen_cell, count) >= 447.505) return Reason::open_circuit;
          if (ppm < 0.01F) return Reason::under_range;
          if (ppm > 250'000.0F) return Reason::over_range;
          return Reason::none;
        },
        false));
  }
}

TEST_CASE("no count of the oxygen cell is valid while the cell is cold or without temperature") {
  const OxygenCellLimits limits{.settle_time = Milliseconds(0)};
  for (const Reading<Celsius> temperature :
       {Reading<Celsius>{Celsius(20.0F), Reason::none},
        Reading<Celsius>{Celsius(734.9F), Reason::none},
        Reading<Celsius>{Celsius(750.0F), Reason::open_circuit}}) {
    const auto found = sweep(
        [&](std::uint16_t count) {
          OxygenCell cell;
          return cell.update(count, temperature, Milliseconds(0), limits);
        },
        [&](std::uint16_t count, float) {
          if (count >= open_circuit_count) return Reason::open_circuit;
          return temperature.valid() ? Reason::warming_up : Reason::cell_thermocouple;
        });
    CHECK(found.valid == 0);
    CHECK(found.wrong_reason == 0);
    CHECK(found.not_finite == 0);
  }
}

TEST_CASE("every count of the oxygen loop, linear and logarithmic, without and with a value held") {
  for (const LoopScale scale : {LoopScale::linear, LoopScale::logarithmic}) {
    const CurrentLoopLimits limits{scale, Ppm(1.0F), Ppm(250'000.0F), Milliseconds(1000)};
    const auto expected = [](std::uint16_t count, Reason undefined) {
      const double mA = signal(AnalogIn::oxygen_loop, count);
      if (mA <= 3.6) return Reason::loop_failure_low;
      if (mA < 3.8) return undefined;
      if (mA <= 20.5) return Reason::none;
      if (mA < 21.0) return undefined;
      return Reason::loop_failure_high;
    };
    // Without a value: undefined currents are not valid.
    const auto fresh = sweep(
        [&](std::uint16_t count) {
          CurrentLoop loop;
          Reading<Ppm> reading = loop.update(count, Milliseconds(100), limits);
          reading.value = scaled(Milliamps(physical(AnalogIn::oxygen_loop, count)), limits);
          return reading;
        },
        [&](std::uint16_t count, float) { return expected(count, Reason::no_value_yet); });
    CHECK(fresh.not_finite == 0);
    CHECK(fresh.falls == 0);
    CHECK(fresh.wrong_reason == 0);
    CHECK(fresh.valid == 45601);  // 16.7 mA of 24 mA
    // With a value: undefined currents hold it.
    CurrentLoop started;
    started.update(32768, Milliseconds(100), limits);
    const float held = started.reading().value.value;
    int wrong_value = 0;
    const auto after = sweep(
        [&](std::uint16_t count) {
          CurrentLoop loop = started;
          return loop.update(count, Milliseconds(100), limits);
        },
        [&](std::uint16_t count, float value) {
          const double mA = signal(AnalogIn::oxygen_loop, count);
          if ((mA < 3.8 || mA > 20.5) && value != held) ++wrong_value;
          return expected(count, Reason::none);
        });
    CHECK(after.not_finite == 0);
    CHECK(after.wrong_reason == 0);
    CHECK(wrong_value == 0);
  }
}

TEST_CASE("every count gives the same bits on every machine and compiler") {
  // FNV-1a over values and reasons. The figure was produced once and must come out of any
  // conforming float32 arithmetic.
  std::uint32_t hash = 2166136261U;
  const auto mix = [&](const auto& reading) {
    hash = (hash ^ std::bit_cast<std::uint32_t>(reading.value.value)) * 16777619U;
    hash = (hash ^ static_cast<std::uint32_t>(reading.reason)) * 16777619U;
  };
  const Reading<Celsius> junction{Celsius(23.4F), Reason::none};
  const Reading<Celsius> cell_temperature{Celsius(748.3F), Reason::none};
  for (int i = 0; i <= 65535; ++i) {
    const auto count = static_cast<std::uint16_t>(i);
    mix(thermocouple(AnalogIn::te_a, count, ThermocoupleType::K, junction, {}));
    mix(thermocouple(AnalogIn::te_b, count, ThermocoupleType::N, junction, {}));
    mix(cold_junction(count, {}));
    OxygenCell cell;
    mix(cell.update(count, cell_temperature, Milliseconds(0), {.settle_time = Milliseconds(0)}));
    CurrentLoop loop;
    mix(loop.update(count, Milliseconds(100), {}));
  }
  CHECK(hash == 1012032696U);
}
