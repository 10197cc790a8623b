#pragma once
#include <cstdint>
#include <string>
#include <vector>

#include "sim/properties/signal_table.hpp"
#include "sim/rig/rig.hpp"

/// What must never happen in an oven, whatever its controller believes.
namespace ovenproof::hazards {

/// How a hazard's condition is judged.
enum class Kind : std::uint8_t {
  limit,    ///< a quantity beyond its limit, at once
  lasting,  ///< what the oven does once a condition has lasted for `tolerance_ms`
  event     ///< something that happens, at once
};

/// A physical condition of the oven that can hurt people, the load or the oven.
struct Hazard {
  std::string id;           ///< stable, for reports and traces of requirements
  std::string title;        ///< what happens, in words
  std::string consequence;  ///< what it can lead to
  /// Of a lasting one: what the oven must not do, in the property language. It takes no part in
  /// the time, so that a proof that flickers does not hide it.
  std::string act;
  std::string condition;  ///< under which it must not; of the others what must not be
  Kind kind = Kind::limit;
  std::uint32_t tolerance_ms = 0;  ///< of a lasting one: how long the condition must have lasted
  std::string brought_about_by;
  std::string against;  ///< requirements by their ids, and other means

  /// What must hold, in the property language.
  [[nodiscard]] std::string property() const;
};

/// "300 ms", "10 s": a tolerance as properties and documents have it.
std::string tolerance_text(std::uint32_t ms);

/// The hazards every oven is judged by. Their limits are constants of the table of `signal_table`.
const std::vector<Hazard>& default_hazards();

/// Highest temperature that the load may have, degC: its own limit; if none is stated the set point
/// of the limiter, above which no load of this oven is meant to get.
double highest_load_degC(const plant::Parameters& oven);

/// Largest flow of gas that exhaust and room are made for, L/min at 0 degC and 101.325 kPa: as
/// stated; if not, 5 % more than the larger of the two paths.
double gas_capacity_L_per_min(const plant::Parameters& oven);

/// All probes of a rig as signals, in their order; the oven's limits (`limit.wall`) and the
/// controller's settings (`setting.purge.gate`) as constants.
properties::SignalTable signal_table(const rig::Oven& oven);

}  // namespace ovenproof::hazards
