#include "sim/prove/recovery.hpp"

#include <algorithm>
#include <unordered_set>

namespace ovenproof::prove {
namespace {

using namespace logic;

/// No oven needs longer: every wait one after the other, each segment, each re-purge.
std::uint64_t patience_ms(const Durations& d) {
  std::uint64_t sum = 0;
  for (const std::uint32_t timer : d.timers) sum += timer;
  return 4 * (sum + d.oxygen_fall + d.purge +
              std::uint64_t{d.segments} * (std::uint64_t{d.ramp} + d.soak) + d.cool_down +
              d.elements_cool + d.damper);
}
/// Nor so many scans in which something happens.
constexpr std::uint64_t most_scans = 100'000;

/// Steps until `done`; false if that does not come.
template <class Done>
bool reaches(BenignOven& oven, std::uint64_t patience, Done done) {
  while (oven.now() <= patience && oven.scans() < most_scans) {
    const bool goes_on = oven.step();
    if (done(oven)) return true;
    if (!goes_on) return false;
  }
  return false;
}

}  // namespace

Recovery recover(const Options& options, const Durations& durations, const StateStore& states) {
  Recovery result;
  const std::uint64_t patience = patience_ms(durations);
  std::unordered_set<std::uint64_t> tried;  // only asked, never walked through
  for (std::size_t i = 0; i < states.size() && !result.stuck; ++i) {
    const auto index = static_cast<StateStore::Index>(i);
    const std::uint64_t bits = states.key(index).logic;
    if (!tried.insert(bits).second) continue;
    const LogicState state = unpack(bits);
    ++result.states;

    const auto give_up = [&](const BenignOven& oven, const char* wanted) {
      result.stuck = Stuck{bits, wanted, oven.now(), oven.logic().state()};
    };
    BenignOven stopped(options, durations, state, Aim::standby);
    if (!reaches(stopped, patience, [](const BenignOven& oven) { return oven.at_rest(); })) {
      give_up(stopped, "standby");
    }
    result.longest_ms = std::max(result.longest_ms, stopped.now());
    result.scans += stopped.scans();
    if (!closed_cycle.has(state.places.phase) || result.stuck) continue;

    ++result.cycles;
    BenignOven left_alone(options, durations, state, Aim::unload);
    if (!reaches(left_alone, patience, [](const BenignOven& oven) {
          return oven.commands().phase == Phase::unloading || oven.at_rest();
        })) {
      give_up(left_alone, "unloading");
    }
    result.longest_cycle_ms = std::max(result.longest_cycle_ms, left_alone.now());
    result.scans += left_alone.scans();
  }
  return result;
}

}  // namespace ovenproof::prove
