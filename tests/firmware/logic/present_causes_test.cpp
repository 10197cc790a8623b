#include <array>
#include <cstdint>
#include <rapidcheck.h>

#include <doctest/doctest.h>

#include "firmware/logic/logic.hpp"
#include "firmware/logic/matrix.hpp"

using namespace ovenproof::logic;

namespace {

/// Row by row, without the tables that pick out the rows worth a look.
std::uint64_t one_by_one(const LogicState& state, const Options& options, const Facts& facts) {
  const Situation situation{state.places.phase, state.memory.energised, state.memory.gate_met,
                            state.memory.repurges, options};
  std::uint64_t present = 0;
  for (std::size_t i = 0; i < cause_count; ++i) {
    const Row& row = matrix[i];
    const bool fitted = (row.needs != Needs::oxygen_monitor || options.oxygen_monitor) &&
                        (row.needs != Needs::jacket_cooling || options.jacket_cooling);
    if (fitted && row.phases.has(situation.phase) && row.condition.present(facts, situation)) {
      present |= std::uint64_t{1} << i;
    }
  }
  return present;
}

}  // namespace

TEST_CASE("the list of present causes is that of the matrix, row by row, trips and inhibits") {
  CHECK(rc::check([](std::uint64_t holding, std::uint8_t energised) {
    const Facts facts(holding & ((FactSet{1} << fact_count) - 1));
    LogicState state;
    state.places.phase = static_cast<Phase>(*rc::gen::inRange<int>(0, phase_count));
    state.memory.energised = OutputSet::of_bits(energised);
    state.memory.gate_met = *rc::gen::arbitrary<bool>();
    state.memory.repurges = *rc::gen::inRange<std::uint8_t>(0, 4);
    Options options;
    options.oxygen_monitor = *rc::gen::arbitrary<bool>();
    options.jacket_cooling = *rc::gen::arbitrary<bool>();
    options.max_repurges = *rc::gen::inRange<std::uint8_t>(0, 4);
    Logic logic(options);
    logic.resume(state);
    RC_ASSERT(logic.present_causes(facts) == one_by_one(state, options, facts));
  }));
}
