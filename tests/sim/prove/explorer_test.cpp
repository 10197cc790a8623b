#include <map>
#include <set>
#include <vector>

#include <doctest/doctest.h>

#include "prove_tools.hpp"

using namespace ovenproof;
using namespace ovenproof::prove;
using logic::Fact;

namespace {

/// The states by plain search: each state, each combination of the free facts, one scan. Gives the
/// distance of each from power-up.
std::map<std::uint64_t, unsigned> by_brute_force(const Subject& subject) {
  std::vector<FactSet> combinations{subject.assumed.value};
  for (std::size_t i = 0; i < logic::fact_count; ++i) {
    const FactSet fact = FactSet{1} << i;
    if ((subject.assumed.known & fact) != 0) continue;
    for (std::size_t n = combinations.size(); n-- > 0;)
      combinations.push_back(combinations[n] | fact);
  }
  std::map<std::uint64_t, unsigned> distance;
  std::vector<std::uint64_t> open;
  for (const std::uint64_t birth : births(subject.options)) {
    if (distance.emplace(birth, 0).second) open.push_back(birth);
  }
  logic::Logic logic(subject.options);
  for (std::size_t i = 0; i < open.size(); ++i) {
    for (const FactSet facts : combinations) {
      if ((excluded_by(facts) & facts) != 0) continue;
      logic.resume(unpack(open[i]));
      logic.scan({&facts, [](const void* self, Fact fact) {
                    return (*static_cast<const FactSet*>(self) & bit(fact)) != 0;
                  }});
      const std::uint64_t next = pack(logic.state());
      if (distance.emplace(next, distance.at(open[i]) + 1).second) open.push_back(next);
    }
  }
  return distance;
}

unsigned distance_of(const StateStore& states, StateStore::Index at) {
  unsigned distance = 0;
  for (; states.parent(at) != StateStore::none; at = states.parent(at)) ++distance;
  return distance;
}

const std::vector<std::vector<Fact>> free_facts{
    {Fact::door_closed, Fact::door_open, Fact::start_pressed, Fact::stop_pressed,
     Fact::reset_pressed, Fact::cool_to_unload, Fact::gas_settled},
    {Fact::start_pressed, Fact::reset_pressed, Fact::fan_running, Fact::process_flow,
     Fact::purge_flow, Fact::gas_supply_ok, Fact::elements_cool},
    {Fact::start_pressed, Fact::reset_pressed, Fact::oxygen_at_gate, Fact::oxygen_above_hold,
     Fact::ramp_complete, Fact::soak_complete, Fact::last_segment, Fact::stop_pressed},
    {Fact::reset_pressed, Fact::estop_healthy, Fact::limiter_healthy, Fact::over_temperature,
     Fact::k1_open, logic::fact_of(logic::Timer::k1_not_open)},
};

Reading only_free(const std::vector<Fact>& free) {
  Reading assumed = test::only_free({});
  for (const Fact fact : free) {
    assumed.known &= ~bit(fact);
    assumed.value &= ~bit(fact);
  }
  return assumed;
}

/// A random pick of 8 facts, by a small generator that is the same everywhere.
std::vector<Fact> drawn_facts(std::uint64_t seed) {
  std::vector<Fact> facts{Fact::start_pressed, Fact::reset_pressed};
  while (facts.size() < 8) {
    // Constants from memory: D. E. Knuth, The Art of Computer Programming 2, 3.3.4: check against
    // the source.
    seed = seed * 6364136223846793005ULL + 1442695040888963407ULL;
    facts.push_back(static_cast<Fact>((seed >> 33) % logic::fact_count));
  }
  return facts;
}

void check_against_brute_force(const Subject& subject) {
  const Histories none({}, subject.options);
  const Exploration e = explore(subject, none, {});
  const std::map<std::uint64_t, unsigned> expected = by_brute_force(subject);
  REQUIRE(e.complete);
  REQUIRE(e.states.size() == expected.size());
  unsigned farthest = 0;
  for (std::size_t i = 0; i < e.states.size(); ++i) {
    const auto index = static_cast<StateStore::Index>(i);
    const auto found = expected.find(e.states.key(index).logic);
    REQUIRE(found != expected.end());
    CHECK(distance_of(e.states, index) == found->second);
    farthest = std::max(farthest, found->second);
  }
  CHECK(e.depth == farthest);
}

}  // namespace

TEST_CASE("with few facts free the states and their distances are those of a plain search") {
  for (const bool oxygen : {false, true}) {
    for (const std::vector<Fact>& free : free_facts) {
      check_against_brute_force(
          {{.oxygen_monitor = oxygen, .start_by_door = true}, only_free(free), false});
    }
  }
  for (std::uint64_t seed = 1; seed <= 12; ++seed) {
    check_against_brute_force(
        {{.start_by_door = seed % 2 == 0, .max_repurges = static_cast<std::uint8_t>(seed % 4)},
         only_free(drawn_facts(seed)),
         false});
  }
}

TEST_CASE("the result is the same with any number of threads, state by state") {
  const Subject subject{{}, only_free(free_facts[2])};
  const Histories histories(
      test::compiled(std::vector<std::string>{"never command.k1", "never phase = soak",
                                              "always (armed implies command.fan)",
                                              "always (phase = soak implies once command.fan)"}),
      subject.options);
  const Exploration one = explore(subject, histories, {.jobs = 1});
  for (const unsigned jobs : {2U, 5U}) {
    const Exploration more = explore(subject, histories, {.jobs = jobs});
    CHECK(more.scans == one.scans);
    CHECK(more.steps == one.steps);
    CHECK(more.transitions == one.transitions);
    CHECK(more.depth == one.depth);
    REQUIRE(more.states.size() == one.states.size());
    for (std::size_t i = 0; i < one.states.size(); ++i) {
      const auto index = static_cast<StateStore::Index>(i);
      REQUIRE(more.states.key(index) == one.states.key(index));
      REQUIRE(more.states.parent(index) == one.states.parent(index));
    }
    for (std::size_t p = 0; p < histories.property_count(); ++p) {
      CHECK(more.properties[p].violated == one.properties[p].violated);
      CHECK(more.properties[p].premise_met() == one.properties[p].premise_met());
    }
    for (const Part& part : parts(subject.options)) {
      CHECK(more.coverage.seen(part) == one.coverage.seen(part));
    }
  }
}

TEST_CASE("a violation is found in a state from which it is one scan away, at the least distance") {
  const Subject subject{{}, only_free(free_facts[2])};
  const std::map<std::uint64_t, unsigned> expected = by_brute_force(subject);
  unsigned nearest = 1000;
  for (const auto& [bits, distance] : expected) {
    if (unpack(bits).places.phase == logic::Phase::soak) nearest = std::min(nearest, distance);
  }
  const Histories histories({test::compiled("never phase = soak")}, subject.options);
  const Exploration e = explore(subject, histories, {});
  REQUIRE(e.properties[0].violated.has_value());
  CHECK(distance_of(e.states, *e.properties[0].violated) + 1 == nearest);
}

TEST_CASE("an implication whose premise never comes about holds, and is known for vacuous") {
  const Subject subject{{.oxygen_monitor = false}, only_free(free_facts[1])};
  const Histories histories(
      test::compiled(std::vector<std::string>{"always (phase = flushing implies command.fan)",
                                              "always (phase = purging implies command.fan)"}),
      subject.options);
  const Exploration e = explore(subject, histories, {});
  CHECK_FALSE(e.properties[0].violated.has_value());
  CHECK_FALSE(e.properties[0].premise_met());
  CHECK(e.properties[1].premise_met());
}

TEST_CASE("when the memory granted is used up the exploration says that it is not complete") {
  const Subject subject{{}, only_free(free_facts[2])};
  const Histories none({}, subject.options);
  const std::size_t empty = StateStore().bytes_with(0);
  const Exploration cut = explore(subject, none, {.memory_bytes = empty - 1});
  CHECK_FALSE(cut.complete);
  CHECK(cut.states.size() == 1);
  const Exploration whole = explore(subject, none, {.memory_bytes = 10 * empty});
  CHECK(whole.complete);
  CHECK(whole.peak_bytes <= 10 * empty);
}

TEST_CASE("the store keeps every state once, in its order, through many doublings") {
  StateStore store;
  const auto key = [](std::uint64_t n) { return Key{n * 0x9E3779B97F4A7C15ULL, n % 7}; };
  constexpr std::uint64_t count = 200'000;
  for (std::uint64_t n = 0; n < count; ++n) {
    const std::size_t bound = store.bytes_with(1);
    REQUIRE_FALSE(store.contains(key(n)));
    REQUIRE(store.add(key(n), static_cast<StateStore::Index>(n / 2)));
    REQUIRE_FALSE(store.add(key(n / 3), 0));
    REQUIRE(store.bytes() <= bound);
  }
  REQUIRE(store.size() == count);
  for (std::uint64_t n = 0; n < count; ++n) {
    REQUIRE(store.key(static_cast<StateStore::Index>(n)) == key(n));
    REQUIRE(store.parent(static_cast<StateStore::Index>(n)) == n / 2);
  }
  CHECK(store.bytes() < 40 * count);
}
