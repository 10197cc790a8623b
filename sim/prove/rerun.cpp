#include "sim/prove/rerun.hpp"

#include <array>

#include "firmware/logic/matrix.hpp"
#include "sim/prove/counterexample.hpp"
#include "sim/prove/fixed_facts.hpp"
#include "sim/prove/packed_state.hpp"

namespace ovenproof::prove {
namespace {

using logic::Cause;

/// The facts of the way; all others as they are in `others`, but for what the way excludes.
FactSet completed(const Reading& way, FactSet others) {
  return (way.value | (others & ~way.known & ~excluded_by(way.value))) & all_facts;
}

}  // namespace

Rerun::Rerun(const logic::Options& options, bool alike) : logic_(options), alike_(alike) {
  for (std::size_t i = 0; i < logic::first_inhibit; ++i) causes_.push_back(static_cast<Cause>(i));
}

std::optional<Rerun::Outcome> Rerun::by_steps(const logic::LogicState& from, const Reading& way) {
  logic_.resume(from);
  const FixedFacts facts(way);
  logic::Progress progress = logic_.begin();
  while (progress.next != logic::Step::done) logic_.step(progress, facts.reader());
  if (facts.guessed()) return std::nullopt;
  return Outcome{logic_.state(), progress.commands};
}

Rerun::Outcome Rerun::in_one_go(const logic::LogicState& from, FactSet facts) {
  logic_.resume(from);
  const logic::Commands commands = logic_.scan(logic::Facts(facts));
  return {logic_.state(), commands};
}

Rerun::Found Rerun::check(const Explored& explored) {
  Found found;
  logic::LogicState from = unpack(explored.from);
  const Cause one = from.memory.first_out;
  const FactSet usual = usual_facts(from.memory.energised);
  const std::array<FactSet, 3> others{usual, ~usual, hash_of({explored.from, explored.turn})};
  std::optional<Outcome> stepped;
  std::size_t next = explored.turn * others.size();
  for (const FactSet fill : others) {
    if (!stepped || alike_) {
      if (alike_ && one != Cause::none) {
        // The next of those that count as one with it.
        do {
          from.memory.first_out = causes_[next++ % causes_.size()];
        } while (representative(from.memory.first_out) != representative(one));
      }
      stepped = by_steps(from, explored.way);
      const Cause then = stepped ? stepped->state.memory.first_out : Cause::none;
      const bool kept = one == Cause::none || then == Cause::none || then == from.memory.first_out;
      const auto packed = [this](const logic::LogicState& state) {
        return alike_ ? with_representative(pack(state)) : pack(state);
      };
      if (!stepped || !kept || packed(stepped->state) != packed(explored.to) ||
          stepped->commands.timers != explored.timers) {
        // Told apart, a timer that was taken back is all that it can be: the steps have said so.
        found.first_outs_differ = alike_;
        return found;
      }
    }
    const FactSet facts = completed(explored.way, fill);
    if (in_one_go(from, facts) == *stepped) continue;
    if (alike_ && from.memory.first_out != one) {
      found.first_outs_differ = true;
    } else {
      found.differs = facts;
    }
    return found;
  }
  return found;
}

}  // namespace ovenproof::prove
