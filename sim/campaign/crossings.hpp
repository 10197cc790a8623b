#pragma once
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "sim/plant/signals.hpp"
#include "sim/scenario/case.hpp"

namespace ovenproof::campaign {

/// What of the oven's state passes a mark.
enum class StateKind : std::uint8_t {
  temperature,  ///< of the chamber's gas: eighths from the room's to the programme's highest
  oxygen,       ///< mean of the chamber: decades, from a tenth of the gas down
  position      ///< door, gas valves, damper: half way
};

/// A scan of the nominal run in which the oven's state has just passed a mark.
struct Crossing {
  StateKind kind = StateKind::temperature;
  std::size_t mark = 0;  ///< the same for the same mark and direction in every cycle
  std::string name;      ///< "264degC_falling"
  bool rising = false;
  std::uint32_t cycle = 0;  ///< from 1
  std::uint64_t scan = 0;   ///< scans done when it had been passed
};

/// Watches the nominal run for marks passed, each at most once a cycle and direction: the first
/// time, but of a falling temperature the first after the hottest scan of the cycle.
class CrossingWatch {
 public:
  explicit CrossingWatch(const scenario::OvenContext& oven);

  /// After each scan, with the cycle that it belongs to. What comes before the first is not kept.
  void observe(const plant::Truth& truth, std::uint32_t cycle, std::uint64_t scan);

  /// Of every cycle that has ended: by cycle and mark.
  [[nodiscard]] const std::vector<Crossing>& crossings() const { return crossings_; }

 private:
  using Quantity = double plant::Truth::*;
  struct Mark {
    StateKind kind;
    std::string name;
    Quantity quantity;
    double level;
    bool rising;
    bool after_hottest;              ///< forgotten whenever the quantity is higher than before
    std::optional<double> before{};  ///< the quantity after the scan before
    double highest = 0.0;            ///< of the cycle
    std::optional<std::uint64_t> passed{};
  };

  void end_cycle();

  std::vector<Mark> marks_;
  std::vector<Crossing> crossings_;
  std::uint32_t cycle_ = 0;
};

}  // namespace ovenproof::campaign
