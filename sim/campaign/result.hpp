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
  hazardous,  ///< a hazard occurred
  unnoticed,  ///< latent: the oven continued without a message, and a second failure may follow
  noticed,    ///< the controller gave a message, or all outputs went off
  outage,     ///< no hazard, no message, but the oven did not do its job
  no_effect,  ///< it passed, and the oven does its job as if nothing had been
  count
};

inline constexpr std::array<std::string_view, static_cast<std::size_t>(Outcome::count)>
    outcome_names{"hazardous", "unnoticed", "noticed", "outage", "no_effect"};

constexpr std::string_view name(Outcome outcome) {
  return outcome < Outcome::count ? outcome_names[static_cast<std::size_t>(outcome)] : "";
}

/// One hazard that occurred.
struct HazardHit {
  std::uint8_t hazard = 0;        ///< index in `hazards::default_hazards()`
  mock::VirtualMs first_ms = 0;   ///< after onset
  mock::VirtualMs lasted_ms = 0;  ///< from then on, in all, until the decision
  double beyond = 0.0;            ///< how far beyond its limit at worst, in `unit`
  std::string_view unit;          ///< of the hazard; static
  friend bool operator==(const HazardHit&, const HazardHit&) = default;
};

/// How the controller noticed.
struct Detection {
  /// Else it purged again, or flushed, without a trip.
  bool trip = false;
  logic::Cause first_out = logic::Cause::none;  ///< of the first trip
  bool first_out_right = false;                 ///< it points at what is broken
  /// From the scan in which the failure first could make a difference to the first notice.
  mock::VirtualMs reaction_ms = 0;
  friend bool operator==(const Detection&, const Detection&) = default;
};

/// Why a branch was not simulated further.
enum class Decided : std::uint8_t {
  never_met,     ///< to the end of the nominal run nothing meets what is broken
  next_start,    ///< the next start, and heat for ten minutes
  came_to_rest,  ///< the attendant gave up, and no hazard can come any more
  time_limit,    ///< none of these within one and a half of the longest cycle and four hours
  count
};

inline constexpr std::array<std::string_view, static_cast<std::size_t>(Decided::count)>
    decided_names{"never_met", "next_start", "came_to_rest", "time_limit"};

constexpr std::string_view name(Decided decided) {
  return decided < Decided::count ? decided_names[static_cast<std::size_t>(decided)] : "";
}

/// What one injection came to. Depends on the plan's inputs and its number alone.
struct Result {
  std::uint64_t number = 0;  ///< of the injection
  Outcome outcome = Outcome::no_effect;
  std::vector<HazardHit> hazards;      ///< in the order of the hazards
  std::optional<Detection> detection;  ///< may come with a hazard, too
  Decided decided = Decided::never_met;
  mock::VirtualMs decided_after_ms = 0;  ///< after onset, in the time of the simulation
  /// Scans done when it first could make a difference, and those simulated from there on. Failures
  /// that sleep until the same scan share them.
  std::uint64_t met_at = 0;
  std::uint64_t scans = 0;
  /// What came from the failure on, of which a sleeping second failure waits: see conditions.hpp.
  std::uint64_t touched = 0;
  friend bool operator==(const Result&, const Result&) = default;
};

}  // namespace ovenproof::campaign
