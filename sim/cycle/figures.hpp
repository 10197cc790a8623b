#pragma once
#include <cstdint>
#include <vector>

#include "sim/rig/rig.hpp"

namespace ovenproof::cycle {

/// Key figures of one cycle, measured on the plant, not on the controller's readings.
struct Figures {
  double start_s = 0.0;             ///< virtual time of the start
  double purge_s = 0.0;             ///< start to gate met
  double oxygen_at_gate_ppm = 0.0;  ///< in the chamber when the gate was met
  double heat_up_s = 0.0;           ///< gate met to the first soak
  double soak_s = 0.0;              ///< all soaks
  double soak_high_K = 0.0;         ///< gas above the target during soaks, worst
  double soak_low_K = 0.0;          ///< gas below the target once soaking within the band, worst
  double peak_degC = 0.0;           ///< hottest gas
  double oxygen_in_soak_ppm = 0.0;  ///< highest while soaking
  double cool_down_s = 0.0;         ///< end of heating to unloading
  double gas_L = 0.0;               ///< from the supply, 0 degC and 101.325 kPa
  double energy_kWh = 0.0;          ///< into the elements
  double lowest_room_oxygen = 0.0;  ///< mole fraction
  std::uint32_t repurges = 0;
  double end_s = 0.0;     ///< virtual time of the end
  bool complete = false;  ///< reached unloading
};

/// Measures the cycles of a run.
class CycleMeter {
 public:
  /// After each scan.
  void observe(const rig::Rig& rig);

  /// The cycles so far; the last may be incomplete.
  [[nodiscard]] const std::vector<Figures>& cycles() const { return cycles_; }

 private:
  void begin(double now_s, const plant::Truth& truth);
  void change_phase(logic::Phase from, logic::Phase to, double now_s, const plant::Truth& truth);
  void measure_soak(const controller::Controller& controller, double now_s,
                    const plant::Truth& truth);

  std::vector<Figures> cycles_;
  bool running_ = false;
  bool soaked_ = false;
  logic::Phase phase_ = logic::Phase::tripped;
  double heat_from_s_ = 0.0;
  double cool_from_s_ = 0.0;
  double last_s_ = 0.0;
  double gas_before_L_ = 0.0;
  double energy_before_kWh_ = 0.0;
  std::uint32_t settled_segment_ = 0;
  bool settled_ = false;  ///< has been within the soak band in this segment
};

}  // namespace ovenproof::cycle
