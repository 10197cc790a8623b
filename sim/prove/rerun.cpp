#include "sim/prove/rerun.hpp"

#include "firmware/logic/matrix.hpp"
#include "sim/prove/counterexample.hpp"
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
  for (std::size_t i = 0; i < logic::first_inhibit; ++i) {
    std::size_t next = i;
    do {
      next = (next + 1) % logic::first_inhibit;
    } while (representative(static_cast<Cause>(next)) != representative(static_cast<Cause>(i)));
    next_like_[i] = static_cast<Cause>(next);
  }
}

/// Whether the scan comes to the state and the commands that were explored. Of first-outs that are
/// alike it keeps the one that it has, and a new one may be any.
bool Rerun::same(const logic::LogicState& from, FactSet facts, const Explored& explored) {
  logic_.resume(from);
  const logic::Commands commands = logic_.scan(logic::Facts(facts));
  const logic::LogicState after = logic_.state();
  const Cause then = after.memory.first_out;
  if (from.memory.first_out != Cause::none && then != Cause::none &&
      then != from.memory.first_out) {
    return !alike_ && after == explored.to && commands == explored.commands;
  }
  logic::LogicState to = explored.to;
  logic::Commands expected = explored.commands;
  if (alike_ && representative(then) == representative(to.memory.first_out)) {
    if (expected.first_out == to.memory.first_out) expected.first_out = then;
    to.memory.first_out = then;
  }
  return after == to && commands == expected;
}

Rerun::Found Rerun::check(const Explored& explored) {
  logic::LogicState from = unpack(explored.from);
  const Cause one = from.memory.first_out;
  const FactSet usual = usual_facts(from.memory.energised);
  const FactSet any = hash_of({explored.from, explored.turn});
  // Steps on the ring of those that are alike, so that all have their turn.
  std::uint64_t steps = one == Cause::none || !alike_ ? 0 : explored.turn % 8;
  for (const FactSet others : {usual, ~usual, any}) {
    for (; steps != 0; --steps) {
      from.memory.first_out = next_like_[static_cast<std::size_t>(from.memory.first_out)];
    }
    const FactSet facts = completed(explored.way, others);
    if (!same(from, facts, explored)) {
      if (from.memory.first_out != one) return {true, std::nullopt};
      return {false, facts};
    }
    steps = one == Cause::none || !alike_ ? 0 : 1 + explored.turn % 13;
  }
  return {};
}

}  // namespace ovenproof::prove
