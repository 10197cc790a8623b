#pragma once
#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "sim/cycle/figures.hpp"
#include "sim/cycle/plan.hpp"
#include "sim/cycle/timeline.hpp"
#include "sim/hazards/hazard_watch.hpp"
#include "sim/rig/rig.hpp"

namespace ovenproof::cycle {

/// A trip after the attendant's first reset.
struct Trip {
  std::uint64_t ms = 0;
  logic::Cause cause = logic::Cause::none;
};

/// What came out of one run.
struct RunResult {
  double simulated_s = 0.0;
  Habit attendant = Habit::usual;
  std::uint32_t cycles_planned = 0;
  std::uint32_t cycles_completed = 0;
  std::vector<Figures> cycles;
  std::vector<hazards::HazardVerdict> hazards;
  std::vector<Event> events;
  std::string gave_up;  ///< why the attendant stopped early; empty if he did not
  /// The first trip but that of power-up. With a planned abnormal opening, the trip it must cause.
  std::optional<Trip> first_trip;
  /// When the attendant opened the door in the middle of the cycle.
  std::optional<std::uint64_t> door_opened_ms;
  std::optional<Waiver> waiver;  ///< of the plan
  /// After an abnormal opening: whether anything was energised once the door was closed again and
  /// nobody touched anything. Nothing if no such opening was planned or reached.
  std::optional<bool> started_by_itself;

  /// Whether the hazard occurred, but only as the plan waives it.
  [[nodiscard]] bool waived(const hazards::HazardVerdict& hazard) const;
  /// Hazards that occurred and are not waived.
  [[nodiscard]] std::size_t hazards_found() const;
  /// The plan was carried out, no hazard occurred that is not waived, and nothing started by
  /// itself.
  [[nodiscard]] bool all_holds() const;
};

/// Called after each scan; `rig` is what it was then.
using Observer = std::function<void(const rig::Rig& rig)>;
/// Told every simulated minute or so: simulated seconds, and the phase.
using Progress = std::function<void(double simulated_s, logic::Phase phase)>;

/// Runs an oven by its attendant's plan, judged on the plant. Same oven and plan, same result.
RunResult run(const rig::Oven& oven, const Plan& plan, const Observer& observer,
              const Progress& progress);

}  // namespace ovenproof::cycle
