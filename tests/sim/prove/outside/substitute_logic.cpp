#include "substitute_logic.hpp"

#include <doctest/doctest.h>

#include "firmware/logic/logic.hpp"
#include "prove_tools.hpp"
#include "sim/prove/counterexample.hpp"

namespace ovenproof::prove::test {
namespace {

const Machine* machine = nullptr;

/// The memory of the logic as bits of a machine.
std::uint32_t bits_of(const logic::Memory& m) {
  return m.energised.bits() | m.latched.bits() << 8U | m.withheld.bits() << 16U |
         (m.armed ? 1U << 24U : 0U) | (m.ended_normally ? 1U << 25U : 0U) |
         (m.gate_met ? 1U << 26U : 0U) | (m.blanket ? 1U << 27U : 0U) |
         static_cast<std::uint32_t>(m.repurges) << 28U;
}

void put_bits(std::uint32_t bits, logic::Memory& m) {
  const auto outputs = [bits](unsigned at) {
    return logic::OutputSet::of_bits(static_cast<std::uint8_t>(bits >> at));
  };
  const auto flag = [bits](unsigned at) { return (bits >> at & 1U) != 0; };
  m.energised = outputs(0);
  m.latched = outputs(8);
  m.withheld = outputs(16);
  m.armed = flag(24);
  m.ended_normally = flag(25);
  m.gate_met = flag(26);
  m.blanket = flag(27);
  m.repurges = static_cast<std::uint8_t>(bits >> 28U & 3U);
}

std::size_t distance_of(const StateStore& states, StateStore::Index at) {
  std::size_t distance = 0;
  for (; states.parent(at) != StateStore::none; at = states.parent(at)) ++distance;
  return distance;
}

}  // namespace

Examined examine(const Machine& which, const std::vector<std::string>& texts) {
  machine = &which;
  const Subject subject{{}};
  Examined result;
  {
    const Histories none({}, subject.options);
    const Exploration e = explore(subject, none, {});
    REQUIRE(e.complete);
    result.states = e.states.size();
    result.depth = e.depth;
    for (std::size_t i = 0; i < e.states.size(); ++i) {
      const bool far = distance_of(e.states, static_cast<StateStore::Index>(i)) == e.depth;
      result.farthest += far ? 1 : 0;
    }
  }
  for (const std::string& text : texts) {
    CAPTURE(text);
    const properties::Property property = compiled(text);
    const Histories histories({property}, subject.options);
    const Exploration e = explore(subject, histories, {});
    REQUIRE(e.complete);
    Examined::Verdict verdict{std::nullopt, e.properties[0].premise_met()};
    if (e.properties[0].violated) {
      verdict.violated_after = distance_of(e.states, *e.properties[0].violated) + 1;
      const Played played = play(subject.options, script_of(subject, histories, e, 0), property);
      REQUIRE(played.scans.size() == *verdict.violated_after);
      REQUIRE(played.violated_in == *verdict.violated_after - 1);
    }
    result.verdicts.push_back(verdict);
  }
  return result;
}

unsigned Chooser::operator()(unsigned count) {
  unsigned chosen = 0;
  for (unsigned bit = 1; bit < count; bit *= 2) {
    // From here on no two facts exclude each other, up to the oxygen's.
    const auto fact =
        static_cast<logic::Fact>(static_cast<unsigned>(logic::Fact::start_pressed) + asked_++);
    REQUIRE(fact < logic::Fact::oxygen_at_gate);
    if (facts_(fact)) chosen |= bit;
  }
  return chosen < count ? chosen : count - 1;
}

}  // namespace ovenproof::prove::test

/// The machine's, in the place of those of the firmware.
namespace ovenproof::logic {

Logic::Logic(Options options, Cause born_tripped_by) : options_(options) {
  memory_.first_out = born_tripped_by;
  prove::test::put_bits(prove::test::machine->initial, memory_);
}

Progress Logic::begin() const {
  Progress progress;
  progress.next = prove::test::machine->before ? Step::actuate : Step::permit;
  return progress;
}

void Logic::step(Progress& progress, const Facts& facts) {
  namespace test = prove::test;
  const bool first = progress.next == Step::actuate;
  const test::Machine::Step& take = first ? test::machine->before : test::machine->scan;
  test::put_bits(take(test::bits_of(memory_), facts), memory_);
  progress.next = first ? Step::permit : Step::done;
  progress.commands.outputs = memory_.energised;
  progress.commands.first_out = memory_.first_out;
}

Commands Logic::scan(const Facts& facts) {
  Progress progress = begin();
  while (progress.next != Step::done) step(progress, facts);
  return progress.commands;
}

std::uint64_t Logic::present_causes(const Facts&) const { return 0; }

}  // namespace ovenproof::logic
