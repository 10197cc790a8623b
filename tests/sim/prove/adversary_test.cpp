#include "sim/prove/adversary.hpp"

#include <set>
#include <vector>

#include <doctest/doctest.h>

using namespace ovenproof::prove;
using ovenproof::logic::Fact;

namespace {

/// Values in the order in which the adversary gave them.
template <class Ask>
std::vector<Reading> ways(Adversary& adversary, Ask ask) {
  std::vector<Reading> all;
  do {
    ask();
    all.push_back(adversary.reading());
  } while (adversary.next());
  return all;
}

}  // namespace

TEST_CASE("n facts that are all looked at can be in 2^n ways, each of which comes once") {
  Adversary adversary;
  for (unsigned n = 0; n <= 10; ++n) {
    adversary.begin();
    const std::vector<Reading> all = ways(adversary, [&] {
      for (unsigned i = 0; i < n; ++i) adversary.now(static_cast<Fact>(27 + i));
    });
    std::set<FactSet> values;
    for (const Reading& r : all) values.insert(r.value);
    CHECK(all.size() == std::size_t{1} << n);
    CHECK(values.size() == all.size());
  }
}

TEST_CASE("a fact that is not looked at after another was true makes no ways of its own") {
  Adversary adversary;
  adversary.begin();
  const std::vector<Reading> all = ways(adversary, [&] {
    if (!adversary.now(Fact::stop_pressed)) adversary.now(Fact::start_pressed);
  });
  CHECK(all.size() == 3);
}

TEST_CASE("a fact is the same however often it is asked in a scan") {
  Adversary adversary;
  adversary.begin();
  do {
    const bool first = adversary.now(Fact::fan_running);
    const bool other = adversary.now(Fact::purge_flow);
    CHECK(adversary.now(Fact::fan_running) == first);
    CHECK(adversary.now(Fact::purge_flow) == other);
    CHECK(adversary.facts()(Fact::fan_running) == first);
  } while (adversary.next());
}

TEST_CASE("two facts that exclude each other are never both true, and may both be false") {
  for (const Exclusion& pair : exclusions) {
    for (const bool turned : {false, true}) {
      Adversary adversary;
      adversary.begin();
      std::set<FactSet> values;
      for (const Reading& r : ways(adversary, [&] {
             adversary.now(turned ? pair.other : pair.one);
             adversary.now(turned ? pair.one : pair.other);
           })) {
        values.insert(r.value);
      }
      CHECK(values == std::set<FactSet>{0, bit(pair.one), bit(pair.other)});
    }
  }
}

TEST_CASE("what is known from the start is never chosen, and excludes as well") {
  Adversary adversary;
  adversary.begin({bit(Fact::door_open), bit(Fact::door_open)});
  const std::vector<Reading> all = ways(adversary, [&] {
    CHECK(adversary.now(Fact::door_open));
    CHECK_FALSE(adversary.now(Fact::door_closed));
    adversary.now(Fact::fan_running);
  });
  CHECK(all.size() == 2);
}

TEST_CASE("facts of the scan before are chosen beside those of this one") {
  Adversary adversary;
  adversary.begin({}, {bit(Fact::start_pressed), bit(Fact::start_pressed)});
  std::set<std::pair<bool, bool>> seen;
  do {
    CHECK(adversary.before(Fact::start_pressed));
    seen.insert({adversary.now(Fact::reset_pressed), adversary.before(Fact::reset_pressed)});
  } while (adversary.next());
  CHECK(seen.size() == 4);
}
