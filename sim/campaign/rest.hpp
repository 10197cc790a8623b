#pragma once
#include <array>
#include <cstdint>

#include "sim/rig/rig.hpp"
#include "sim/scenario/case.hpp"

namespace ovenproof::campaign {

/// Tells when an oven that nobody touches has come to rest: no hazard can come any more.
///
/// At rest is an oven whose heater is cut off at one contactor at least, and which
/// - is colder than its load may be in air, so that nothing that follows matters, or
/// - has not got hotter anywhere for five minutes, and lies under flowing gas with less than half
/// of
///   the oxygen that its load may meet while hot, which has not risen by more than half a
///   hundredth of that: the gas draws in most air when it cools fastest, at the beginning; or
/// - has not got hotter anywhere for five minutes, and whose load has met oxygen while hot already.
/// If gas flows, the room's oxygen must have stopped falling, too; if none flows into a chamber
/// that is still warm, its pressure. Looked at twice a minute.
class Rest {
 public:
  explicit Rest(const scenario::OvenContext& oven) : oven_(oven) {}

  /// After each scan. True when it has come to rest. `load_met_oxygen`: hot, and it was counted.
  bool observe(const rig::Rig& rig, bool load_met_oxygen);

 private:
  struct Sample {
    double oxygen = 1.0;
    double hottest_degC = 0.0;
    double room_oxygen = 1.0;
    double pressure_Pa = 0.0;
  };
  static constexpr std::size_t window = 11;  ///< samples of five minutes

  /// Five minutes before the sample that comes next; null while there is none.
  [[nodiscard]] const Sample* then() const;

  const scenario::OvenContext& oven_;
  std::array<Sample, window> samples_{};
  std::size_t taken_ = 0;
};

}  // namespace ovenproof::campaign
