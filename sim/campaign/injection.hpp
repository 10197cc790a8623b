#pragma once
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "hal-mock/signal_fault.hpp"
#include "sim/campaign/mode.hpp"
#include "sim/cycle/habit.hpp"

namespace ovenproof::campaign {

/// Where in the nominal run a failure begins.
struct Instant {
  std::string id;           ///< "1.soak+0": cycle, phase, and which of its instants; stable
  std::uint64_t scan = 0;   ///< scans done when the failure begins
  mock::VirtualMs ms = 0;   ///< time of the simulation then
  std::uint32_t cycle = 0;  ///< from 1; 0 before the first start
  logic::Phase phase = logic::Phase::tripped;  ///< the nominal run's then
  /// Who works the oven from then on; until then the usual attendant does.
  cycle::Habit attendant = cycle::Habit::usual;
};

/// The id of the same instant with that attendant: "1.cooling.middle/late"; and the attendant of an
/// id.
std::string id_with(std::string_view id, cycle::Habit attendant);
cycle::Habit attendant_of(std::string_view id);

/// One failure, or two, at one place of the nominal run. All but `number` are indices into the
/// plan that holds it.
struct Injection {
  std::uint64_t number = 0;  ///< stable for one plan; what stores and shards go by
  std::size_t mode = 0;
  std::size_t realisation = 0;
  std::size_t instant = 0;

  /// The second failure, or a demand, while the first sleeps.
  struct Second {
    bool demand = false;  ///< `mode` is an index in the plan's demands
    std::size_t mode = 0;
    std::size_t realisation = 0;
    std::size_t instant = 0;  ///< not before the first failure's
    friend bool operator==(const Second&, const Second&) = default;
  };
  std::optional<Second> second;

  friend bool operator==(const Injection&, const Injection&) = default;
};

}  // namespace ovenproof::campaign
