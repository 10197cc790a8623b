#include <set>
#include <tuple>
#include <vector>

#include <doctest/doctest.h>

#include "firmware/logic/matrix.hpp"
#include "prove_tools.hpp"

using namespace ovenproof;
using namespace ovenproof::prove;
using logic::Cause;
using logic::Timer;

namespace {

/// Delays are over at once and no time limit ever is: every cause can come, in few scans.
Reading hurried() {
  Reading assumed;
  for (std::size_t i = 0; i < logic::timer_count; ++i) {
    const auto timer = static_cast<Timer>(i);
    assumed.known |= bit(logic::fact_of(timer));
    if (timer != Timer::purge_timeout && timer != Timer::heating_timeout &&
        timer != Timer::cooling_timeout && timer != Timer::arm_expiry) {
      assumed.value |= bit(logic::fact_of(timer));
    }
  }
  return assumed;
}

std::uint64_t tripped_by(std::uint64_t bits, Cause cause) {
  logic::LogicState state = unpack(bits);
  state.memory.first_out = cause;
  return pack(state);
}

using Ways = std::set<std::tuple<std::uint64_t, FactSet, FactSet, bool, bool>>;

/// All ways of one scan, with the representative first-out where they lead. Complains if it changes
/// to anything but none.
Ways ways_from(std::uint64_t bits, const Subject& subject) {
  const Cause cause = unpack(bits).memory.first_out;
  logic::Logic logic(subject.options);
  Adversary adversary;
  Ways ways;
  adversary.begin(subject.assumed);
  do {
    logic.resume(unpack(bits));
    const logic::Commands commands = logic.scan(adversary.facts());
    const Cause after = logic.state().memory.first_out;
    CHECK((after == cause || after == Cause::none));
    ways.emplace(with_representative(pack(logic.state())), adversary.reading().known,
                 adversary.reading().value, commands.acknowledge, commands.count_purge);
  } while (adversary.next());
  return ways;
}

/// All causes that can trip and have the same representative.
std::vector<Cause> alike(Cause first_out) {
  std::vector<Cause> all;
  for (std::size_t i = 0; i < logic::first_inhibit; ++i) {
    const auto cause = static_cast<Cause>(i);
    if (representative(cause) == representative(first_out)) all.push_back(cause);
  }
  return all;
}

}  // namespace

TEST_CASE("the logic does the same after every first-out that has the same representative") {
  const Subject subject{{.start_by_door = true}, hurried()};
  const Histories none({}, subject.options);
  const Exploration e = explore(subject, none, {});
  REQUIRE(e.states.size() > 500);
  std::size_t tripped = 0;
  for (std::size_t i = 0; i < e.states.size(); ++i) {
    const std::uint64_t bits = e.states.key(static_cast<StateStore::Index>(i)).logic;
    const Cause first_out = unpack(bits).memory.first_out;
    if (first_out == Cause::none) continue;
    ++tripped;
    const Ways expected = ways_from(bits, subject);
    // Two other causes for each state, in turn all of them.
    const std::vector<Cause> others = alike(first_out);
    for (const std::size_t other : {2 * tripped, 2 * tripped + 1}) {
      const Cause cause = others[other % others.size()];
      CAPTURE(std::string(logic::row_of(cause).key));
      REQUIRE(ways_from(tripped_by(bits, cause), subject) == expected);
    }
  }
  CHECK(tripped > 300);
}

TEST_CASE("every first-out stands for itself or is stood for, and none for nothing") {
  CHECK(representative(Cause::none) == Cause::none);
  for (std::size_t i = 0; i < logic::cause_count; ++i) {
    const Cause stands = representative(static_cast<Cause>(i));
    CHECK(stands != Cause::none);
    CHECK(representative(stands) == stands);
  }
}

TEST_CASE(
    "merged or not, the same states are found but for the first-out, and the same is proved") {
  Subject subject{
      {},
      test::only_free(
          {logic::Fact::reset_pressed, logic::Fact::start_pressed, logic::Fact::estop_healthy,
           logic::Fact::limiter_healthy, logic::Fact::over_temperature, logic::Fact::fan_running,
           logic::Fact::process_flow, logic::Fact::door_closed, logic::Fact::elements_cool})};
  std::vector<std::string> texts;
  for (const Interlock& interlock : interlocks(subject.options)) {
    if (interlock.applies) texts.push_back(interlock.text);
  }
  texts.emplace_back("never command.k1");
  texts.emplace_back("never rises(first_out = limiter_tripped)");
  const Histories histories(test::compiled(texts), subject.options);
  REQUIRE(subject.merges(histories));

  const Exploration merged = explore(subject, histories, {});
  subject.merge_first_outs = false;
  const Exploration whole = explore(subject, histories, {});
  CHECK(merged.states.size() < whole.states.size());
  std::set<std::pair<std::uint64_t, std::uint64_t>> found;
  std::set<std::pair<std::uint64_t, std::uint64_t>> expected;
  for (std::size_t i = 0; i < merged.states.size(); ++i) {
    const Key& key = merged.states.key(static_cast<StateStore::Index>(i));
    found.emplace(key.logic, key.history);
  }
  for (std::size_t i = 0; i < whole.states.size(); ++i) {
    const Key& key = whole.states.key(static_cast<StateStore::Index>(i));
    expected.emplace(with_representative(key.logic), key.history);
  }
  CHECK(found == expected);
  CHECK(merged.depth == whole.depth);
  for (std::size_t p = 0; p < texts.size(); ++p) {
    CAPTURE(texts[p]);
    CHECK(merged.properties[p].violated.has_value() == whole.properties[p].violated.has_value());
    CHECK(merged.properties[p].premise_met() == whole.properties[p].premise_met());
  }
}

TEST_CASE("a property that tells one first-out from another keeps the states apart") {
  const Subject subject{};
  const auto merges = [&](const char* text) {
    return subject.merges(Histories({test::compiled(text)}, subject.options));
  };
  CHECK(merges("always (command.k1 implies first_out = none)"));
  CHECK(merges("always (rises(first_out = emergency_stop) implies not fact.estop_healthy)"));
  CHECK(merges("never changes(first_out)"));
  CHECK(
      merges("never (first_out in {limiter_tripped, temperature_invalid, thermocouples_disagree,"
             " temperature_rate_implausible, no_temperature_rise, rise_without_demand})"));
  CHECK_FALSE(merges("never (first_out in {limiter_tripped, temperature_invalid})"));
  CHECK_FALSE(merges("never (first_out = emergency_stop and command.fan)"));
  CHECK_FALSE(merges("never falls(first_out = emergency_stop)"));
  CHECK_FALSE(merges("never rises(first_out in {emergency_stop, limiter_tripped})"));
  CHECK_FALSE(merges("always (command.fan implies once first_out != power_up)"));
}
