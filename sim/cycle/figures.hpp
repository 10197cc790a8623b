#pragma once
#include <cstdint>
#include <optional>
#include <vector>

#include "sim/rig/rig.hpp"

namespace ovenproof::cycle {

/// A figure of something that a cycle broken off too soon never did is absent.
using Figure = std::optional<double>;

/// Key figures of one cycle, measured on the plant, not on the controller's readings.
struct Figures {
  double start_s = 0.0;             ///< virtual time of the start
  Figure purge_s;                   ///< start to gate met
  Figure oxygen_at_gate_ppm;        ///< in the chamber when the gate was met
  Figure heat_up_s;                 ///< gate met to the first soak
  Figure soak_s;                    ///< all soaks
  Figure soak_high_K;               ///< gas above the target during soaks, worst; 0 if never
  Figure soak_low_K;                ///< gas below the target once soaking within the band, worst
  double peak_degC = 0.0;           ///< hottest gas
  Figure oxygen_in_soak_ppm;        ///< highest while soaking
  Figure cool_down_s;               ///< end of heating to unloading
  double gas_L = 0.0;               ///< from the supply, 0 degC and 101.325 kPa
  double energy_kWh = 0.0;          ///< into the elements
  double lowest_room_oxygen = 0.0;  ///< mole fraction
  std::uint32_t repurges = 0;
  Figure low_oxygen_s;    ///< at unloading: chamber below 19.5 % oxygen with the door open
  Figure reached_oxygen;  ///< at unloading: least in the chamber while somebody reaches in
  Figure handled_degC;    ///< at unloading: hottest load or chamber wall while somebody reaches in
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
  /// At the open door after a complete cycle.
  void measure_unloading(const rig::Rig& rig);
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
