#pragma once
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "firmware/logic/causes.hpp"
#include "hal-mock/signal_fault.hpp"

namespace ovenproof::campaign {

/// What a failure came to, from the worst on.
enum class Outcome : std::uint8_t {
  hazardous,          ///< a hazard came about
  safe_undetected,    ///< latent: the oven went on, nobody was told, and it may fail a second time
  safe_detected,      ///< the controller told somebody, or everything went off
  availability_loss,  ///< no hazard, no message, but the oven did not do its job
  no_effect,          ///< undone, or never looked at, and the oven is as if nothing had been
  count
};

inline constexpr std::array<std::string_view, static_cast<std::size_t>(Outcome::count)>
    outcome_names{"hazardous", "safe_undetected", "safe_detected", "availability_loss",
                  "no_effect"};

constexpr std::string_view name(Outcome outcome) {
  return outcome < Outcome::count ? outcome_names[static_cast<std::size_t>(outcome)] : "";
}

/// One hazard that came about.
struct HazardHit {
  std::uint8_t hazard = 0;        ///< index in `hazards::default_hazards()`
  mock::VirtualMs first_ms = 0;   ///< after onset
  mock::VirtualMs lasted_ms = 0;  ///< how long its condition held in all, until the decision
  double beyond = 0.0;            ///< how far beyond its limit at worst, in `unit`
  std::string_view unit;          ///< of the hazard; static
  friend bool operator==(const HazardHit&, const HazardHit&) = default;
};

/// How the controller noticed.
struct Detection {
  bool trip = false;  ///< else a message without a trip
  logic::Cause first_out = logic::Cause::none;
  bool first_out_right = false;     ///< it points at what is broken
  mock::VirtualMs reaction_ms = 0;  ///< after onset
  friend bool operator==(const Detection&, const Detection&) = default;
};

/// Why a branch was not simulated further.
enum class Decided : std::uint8_t {
  never_met,     ///< up to the bound nothing looks at what is broken: the nominal run's own result
  merged,        ///< the oven had become bit for bit that of the nominal run again
  came_to_rest,  ///< tripped, everything off, cooled down
  bound,         ///< the stated bound, the next start included
  cannot_start,  ///< the attendant gave up
  count
};

inline constexpr std::array<std::string_view, static_cast<std::size_t>(Decided::count)>
    decided_names{"never_met", "merged", "came_to_rest", "bound", "cannot_start"};

constexpr std::string_view name(Decided decided) {
  return decided < Decided::count ? decided_names[static_cast<std::size_t>(decided)] : "";
}

/// What one injection came to. Depends on the plan's inputs and its number alone.
struct Result {
  std::uint64_t number = 0;  ///< of the injection
  Outcome outcome = Outcome::no_effect;
  std::vector<HazardHit> hazards;      ///< in the order of the hazards
  std::optional<Detection> detection;  ///< may come with a hazard, too
  Decided decided = Decided::bound;
  mock::VirtualMs decided_after_ms = 0;  ///< after onset, in the time of the simulation
  std::uint64_t scans = 0;               ///< simulated for it alone; 0 if shared with another
  /// Bit n: the signal at the terminal of point n (`mock::Point::index`) differed from the nominal
  /// run's at some time before the decision.
  std::uint64_t touched = 0;
  friend bool operator==(const Result&, const Result&) = default;
};

}  // namespace ovenproof::campaign
