#pragma once
#include <cstdint>
#include <map>
#include <memory>
#include <mutex>
#include <vector>

#include "firmware/logic/phase.hpp"
#include "sim/campaign/conditions.hpp"
#include "sim/campaign/crossings.hpp"
#include "sim/cycle/attendant.hpp"
#include "sim/hazards/hazard_watch.hpp"
#include "sim/rig/rig.hpp"
#include "sim/scenario/case.hpp"

namespace ovenproof::campaign {

/// Cycles over which failures are injected. One whole cycle follows, so that what sleeps is met.
inline constexpr std::uint32_t cycles_injected = 2;
/// How long heat must have been on after a start before a branch is decided.
inline constexpr mock::VirtualMs heat_after_start_ms = 600'000;

/// An oven with its attendant and its judge between two scans. A plain value: a copy goes on bit
/// for bit as the original would.
struct Moment {
  explicit Moment(const scenario::OvenContext& oven);

  /// One scan: hands, controller, plant. The hazards that have just occurred.
  std::vector<std::size_t> step();

  rig::Rig rig;
  cycle::Attendant attendant;
  hazards::HazardWatch watch;
  std::uint64_t scan = 0;  ///< scans done
};

/// The controller's phase; tripped without power.
logic::Phase phase_of(const rig::Rig& rig);

/// The run of a whole oven, against which failures are compared: the cycles over which they are
/// injected, and one more.
class Nominal {
 public:
  /// A stretch of scans after which the sequence was in one phase.
  struct Stretch {
    logic::Phase phase = logic::Phase::tripped;
    std::uint32_t cycle = 0;  ///< 1 from the loading for the first start on; 0 before
    std::uint64_t first = 0;  ///< scans done when it was entered
    std::uint64_t end = 0;    ///< scans done when it was left
  };

  /// Simulates it. Throws std::runtime_error, saying why, if the oven does not come through it
  /// unharmed: then there is nothing to compare with.
  explicit Nominal(std::shared_ptr<const scenario::OvenContext> oven);

  [[nodiscard]] const scenario::OvenContext& oven() const { return *oven_; }
  [[nodiscard]] const std::vector<Stretch>& stretches() const { return stretches_; }
  /// Marks of the oven's state that were passed in the cycles over which failures are injected.
  [[nodiscard]] const std::vector<Crossing>& crossings() const { return crossings_; }
  /// Scans in all.
  [[nodiscard]] std::uint64_t scans() const { return scans_; }
  [[nodiscard]] mock::VirtualMs longest_cycle_ms() const { return longest_cycle_ms_; }

  /// The first scan, done `from` scans before it or more, in which one of the conditions comes;
  /// `scans()` if none does.
  [[nodiscard]] std::uint64_t first_with(Conditions any, std::uint64_t from) const;

  /// The oven when that many scans were done. What was simulated for it is kept: thread-safe.
  [[nodiscard]] std::shared_ptr<const Moment> at(std::uint64_t scan) const;

 private:
  struct Change {
    std::uint64_t scan = 0;  ///< from this scan on
    Conditions now = 0;
  };

  void watch_phase(logic::Phase phase, std::uint64_t scan);

  std::shared_ptr<const scenario::OvenContext> oven_;
  std::vector<Stretch> stretches_;
  std::vector<Change> changes_;
  std::vector<Crossing> crossings_;
  std::uint64_t scans_ = 0;
  mock::VirtualMs longest_cycle_ms_ = 0;

  mutable std::mutex mutex_;
  mutable std::map<std::uint64_t, std::shared_ptr<const Moment>> kept_;
};

}  // namespace ovenproof::campaign
