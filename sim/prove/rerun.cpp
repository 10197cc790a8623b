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

/// Whether the scan comes to the state and the commands that were explored.
bool Rerun::same(const logic::LogicState& from, FactSet facts, const Explored& explored) {
  // The explored first-out may only stand for the one that this scan has, or comes to have.
  const Cause stands = explored.to.memory.first_out;
  const Cause has = stands == Cause::none                  ? stands
                    : explored.tripped_by != Cause::none   ? explored.tripped_by
                    : from.memory.first_out != Cause::none ? from.memory.first_out
                                                           : stands;
  logic::LogicState to = explored.to;
  logic::Commands commands = explored.commands;
  if (alike_ && representative(has) == representative(stands)) {
    to.memory.first_out = has;
    if (commands.first_out == stands) commands.first_out = has;
  }
  logic_.resume(from);
  return logic_.scan(logic::Facts(facts)) == commands && logic_.state() == to;
}

Rerun::Found Rerun::check(const Explored& explored) {
  logic::LogicState from = unpack(explored.from);
  const Cause one = from.memory.first_out;
  if (alike_ && one != Cause::none) {
    for (std::uint64_t steps = explored.turn % 35; steps != 0; --steps) {
      from.memory.first_out = next_like_[static_cast<std::size_t>(from.memory.first_out)];
    }
  }
  const FactSet usual = usual_facts(from.memory.energised);
  const FactSet others = explored.turn % 3 == 0   ? usual
                         : explored.turn % 3 == 1 ? ~usual
                                                  : hash_of({explored.from, explored.turn});
  const FactSet facts = completed(explored.way, others);
  if (same(from, facts, explored)) return {};
  if (from.memory.first_out != one) return {true, std::nullopt};
  return {false, facts};
}

}  // namespace ovenproof::prove
