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
/// - lies under proven process flow with less than half of the oxygen that its load may meet while
///   hot, and for ten minutes oxygen has not risen and load, elements and wall have only got
///   cooler. The gas draws in most air when it cools fastest, which is at the beginning.
/// If gas flows, the room's oxygen must have stopped falling, too. Looked at once a minute.
class Rest {
 public:
  explicit Rest(const scenario::OvenContext& oven) : oven_(oven) {}

  /// After each scan. True when it has come to rest.
  bool observe(const rig::Rig& rig);

 private:
  struct Sample {
    double oxygen = 1.0;
    double load_degC = 0.0;
    double element_degC = 0.0;
    double wall_degC = 0.0;
    double room_oxygen = 1.0;
  };
  static constexpr std::size_t window = 11;  ///< samples of ten minutes

  [[nodiscard]] bool settles(const Sample& now) const;
  [[nodiscard]] bool room_settles(const Sample& now) const;

  const scenario::OvenContext& oven_;
  std::array<Sample, window> samples_{};
  std::size_t taken_ = 0;
};

}  // namespace ovenproof::campaign
