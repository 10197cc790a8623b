#pragma once
#include <array>
#include <bitset>
#include <cstdint>

#include "firmware/logic/causes.hpp"
#include "firmware/logic/outputs.hpp"
#include "firmware/logic/phase.hpp"
#include "sim/rig/rig.hpp"

namespace ovenproof::scenario {

/// One step of the sequence.
struct Transition {
  logic::Phase from;
  logic::Phase to;
  friend constexpr bool operator==(const Transition&, const Transition&) = default;
};

/// The steps that the tables of the state machine hold (firmware/logic/machine.hpp), flat. One scan
/// may take two of them, so that the phase seems to skip one.
inline constexpr std::array<Transition, 25> sequence_transitions = [] {
  using enum logic::Phase;
  return std::array<Transition, 25>{
      {{tripped, standby},   {standby, purging},    {standby, tripped},  {purging, ramp},
       {purging, standby},   {purging, tripped},    {ramp, soak},        {ramp, repurging},
       {ramp, cooling},      {ramp, tripped},       {soak, ramp},        {soak, repurging},
       {soak, cooling},      {soak, tripped},       {repurging, ramp},   {repurging, cooling},
       {repurging, tripped}, {cooling, unloading},  {cooling, flushing}, {cooling, tripped},
       {flushing, cooling},  {flushing, unloading}, {flushing, tripped}, {unloading, standby},
       {unloading, tripped}}};
}();

/// What a run made the controller's logic do, from the beginning of the case.
///
/// A cause counts as exercised when it came: as the first-out of a trip, as another trip's cause
/// that waits for no delay, or as an inhibit. After power-up a contact reads open until it has been
/// closed for its debounce time: causes that are present but are no first-out count only after the
/// longest of those times. A cell of the matrix counts when the trip came while
/// its output was energised and the output was off in that scan, or when the inhibit keeps an
/// output off that is demanded while nothing is tripped.
class Coverage {
 public:
  /// The case begins: what the run did on the way here is its start, and not counted.
  void begin();
  /// After each scan.
  void observe(const rig::Rig& rig);
  /// Adds what another run did.
  void merge(const Coverage& other);

  [[nodiscard]] bool visited(logic::Phase phase) const { return phases_[index(phase)]; }
  [[nodiscard]] bool went(logic::Phase from, logic::Phase to) const {
    return transitions_[index(from) * logic::phase_count + index(to)];
  }
  [[nodiscard]] bool came(logic::Cause cause) const { return causes_[index(cause)]; }
  [[nodiscard]] bool withheld(logic::Cause cause, logic::Output output) const {
    return cells_[index(cause)].has(output);
  }

 private:
  template <class E>
  static constexpr std::size_t index(E value) {
    return static_cast<std::size_t>(value);
  }
  void observe_causes(const controller::Controller& controller, bool settled);

  std::bitset<logic::phase_count> phases_;
  std::bitset<logic::phase_count * logic::phase_count> transitions_;
  std::bitset<logic::cause_count> causes_;
  std::array<logic::OutputSet, logic::cause_count> cells_{};

  /// Contacts have been read for as long as the slowest is debounced.
  mock::VirtualMs settled_ms_ = 0;
  bool all_counted_ = false;  ///< every cause that was present in the scan before

  // Of the scan before.
  bool ran_ = false;
  logic::Phase phase_ = logic::Phase::tripped;
  logic::Cause first_out_ = logic::Cause::none;
  std::uint64_t facts_ = 0;
  logic::OutputSet outputs_;
  logic::OutputSet withheld_;
};

}  // namespace ovenproof::scenario
