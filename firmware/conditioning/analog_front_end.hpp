#pragma once
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>

#include "firmware/conditioning/conversion_watch.hpp"
#include "firmware/conditioning/current_loop.hpp"
#include "firmware/conditioning/median_of_three.hpp"
#include "firmware/conditioning/oxygen_cell.hpp"
#include "firmware/conditioning/pt100.hpp"
#include "firmware/conditioning/reading.hpp"
#include "firmware/conditioning/thermocouple.hpp"
#include "firmware/hal/image.hpp"

namespace ovenproof::conditioning {

/// How oxygen is measured.
enum class OxygenSensor : std::uint8_t { none, cell, loop };

struct AnalogLimits {
  ThermocoupleType control_type = ThermocoupleType::K;
  std::uint8_t control_sensors = 2;  ///< 1: TE-1B is not read and stays no_value_yet
  OxygenSensor oxygen_sensor = OxygenSensor::cell;
  Milliseconds stale_after{500};
  ColdJunctionLimits cold_junction;
  ThermocoupleLimits control;
  ThermocoupleLimits cell_thermocouple;
  OxygenCellLimits cell;
  CurrentLoopLimits loop;
};

/// All analogue inputs from one image: counts in, readings out.
class AnalogFrontEnd {
 public:
  /// One scan. Has a value, the time since the previous evaluation, when the readings were
  /// evaluated: at each new conversion, and while the converter stands still once per stale_after
  /// with every reading `stale`. What judges readings runs then and only then, with that time.
  std::optional<Milliseconds> update(const hal::InputImage& image, Milliseconds elapsed,
                                     const AnalogLimits& limits) {
    since_evaluation_ = math::saturating_add(since_evaluation_, elapsed);
    const bool fresh = watch_.update(image.conversion, elapsed, limits.stale_after);
    if (!fresh && !(watch_.stale() && since_evaluation_ > limits.stale_after)) return std::nullopt;
    const Milliseconds interval = since_evaluation_;
    since_evaluation_ = Milliseconds(0);
    if (fresh) {
      evaluate(image, interval, limits);
    } else {
      mark_stale();
    }
    return interval;
  }

  [[nodiscard]] bool stale() const { return watch_.stale(); }
  [[nodiscard]] const Reading<Celsius>& cold_junction() const { return cold_junction_; }
  [[nodiscard]] const Reading<Celsius>& te_a() const { return te_a_; }
  [[nodiscard]] const Reading<Celsius>& te_b() const { return te_b_; }
  /// Not valid on ovens without a cell.
  [[nodiscard]] const Reading<Celsius>& cell_temperature() const { return cell_temperature_; }
  /// no_value_yet for ever on ovens without oxygen monitor.
  [[nodiscard]] const Reading<Ppm>& oxygen() const { return oxygen_; }
  /// Raw counts behind oxygen().
  [[nodiscard]] std::uint16_t oxygen_count() const { return oxygen_count_; }

 private:
  void evaluate(const hal::InputImage& image, Milliseconds interval, const AnalogLimits& limits);
  /// The count of a channel without lone bad conversions.
  std::uint16_t count(const hal::InputImage& image, hal::AnalogIn point) {
    return medians_[static_cast<std::size_t>(point)].update(image.count(point));
  }
  void mark_stale();

  ConversionWatch watch_;
  Milliseconds since_evaluation_{0};
  std::array<MedianOfThree, hal::analog_in_count> medians_{};
  Reading<Celsius> cold_junction_;
  Reading<Celsius> te_a_;
  Reading<Celsius> te_b_;
  Reading<Celsius> cell_temperature_;
  Reading<Ppm> oxygen_;
  OxygenCell cell_;
  CurrentLoop loop_;
  std::uint16_t oxygen_count_ = 0;
};

}  // namespace ovenproof::conditioning
