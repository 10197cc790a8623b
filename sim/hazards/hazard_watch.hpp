#pragma once
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "sim/hazards/hazards.hpp"
#include "sim/properties/monitor.hpp"
#include "sim/rig/probes.hpp"

namespace ovenproof::hazards {

/// How a run did on one hazard.
struct HazardVerdict {
  std::string id;
  std::string title;
  std::string property;
  bool avoided = false;
  std::optional<std::uint64_t> first_ms;  ///< when it first occurred
  /// How near it came: "never true", "0.25 s of 2 s allowed", or the distance from its limit with
  /// its unit; of one that occurred "5.1 s, 2 s allowed", "3 K beyond" or "occurred".
  std::string margin;
};

/// The default hazards in their order, ready to be watched; after them, of each lasting one,
/// whether its act and its condition were ever true at once.
std::vector<properties::Property> compile_hazards(const properties::SignalTable& table,
                                                  std::uint32_t period_ms);

/// Judges a run of a rig on the default hazards, scan by scan.
class HazardWatch {
 public:
  HazardWatch(const rig::Oven& oven, std::uint32_t period_ms)
      : HazardWatch(compile_hazards(signal_table(oven), period_ms)) {}
  /// `properties`: of `compile_hazards`, to be shared by many runs of one oven.
  explicit HazardWatch(std::vector<properties::Property> properties);

  /// After each scan. Gives the hazards that have just occurred, by index; each at most once.
  std::vector<std::size_t> observe(const rig::Rig& rig);

  [[nodiscard]] std::vector<HazardVerdict> verdicts() const;

 private:
  std::vector<properties::Property> properties_;
  properties::MonitorSet monitors_;
  rig::ProbeReader reader_;
  std::vector<double> row_;
  std::vector<std::optional<std::uint64_t>> first_ms_;
};

}  // namespace ovenproof::hazards
