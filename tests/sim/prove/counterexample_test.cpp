#include "sim/prove/counterexample.hpp"

#include <doctest/doctest.h>

#include "prove_tools.hpp"

using namespace ovenproof;
using namespace ovenproof::prove;
using logic::Fact;

namespace {

struct Refuted {
  properties::Property property;
  Script script;
  Played played;
};

/// Explores with the facts of a start free, expects a counterexample, and plays it.
Refuted refuted(const std::string& text, const logic::Options& options = {}) {
  const Subject subject{
      options, test::only_free({Fact::reset_pressed, Fact::start_pressed, Fact::door_closed,
                                Fact::door_open, Fact::fan_running, Fact::process_flow,
                                Fact::ramp_complete, Fact::stop_pressed})};
  const properties::Property property = test::compiled(text);
  const Histories histories({property}, options);
  const Exploration e = explore(subject, histories, {});
  REQUIRE(e.properties[0].violated.has_value());
  const Script script = script_of(subject, histories, e, 0);
  return {property, script, play(options, script, property)};
}

}  // namespace

TEST_CASE("the script of a counterexample violates the property in its last scan, not before") {
  for (const char* text :
       {"never command.fan", "never command.k1", "never phase = soak",
        "always (command.k1 implies once fact.stop_pressed)", "never rises(fact.start_pressed)",
        "never falls(fact.door_closed)", "always not (command.fan and changes(fact.door_open))",
        "at_start command.fan", "always (phase = cooling implies not once phase = ramp)"}) {
    CAPTURE(std::string(text));
    const Refuted r = refuted(text);
    REQUIRE(r.played.violated_in.has_value());
    CHECK(*r.played.violated_in + 1 == r.script.scans.size());
  }
}

TEST_CASE("the shortest way to a purge is a reset that is let go and pressed, and a start") {
  const Refuted r = refuted("never phase = purging");
  REQUIRE(r.script.scans.size() == 4);
  // Reset off, reset on: standby. Start off, start on: purging.
  CHECK((r.script.scans[0].known & bit(Fact::reset_pressed)) != 0);
  CHECK((r.script.scans[0].value & bit(Fact::reset_pressed)) == 0);
  CHECK((r.script.scans[1].value & bit(Fact::reset_pressed)) != 0);
  CHECK((r.script.scans[2].value & bit(Fact::start_pressed)) == 0);
  CHECK((r.script.scans[3].value & bit(Fact::start_pressed)) != 0);
}

TEST_CASE("a minimised script violates as fast and keeps only what must differ from the usual") {
  const Refuted r = refuted("never phase = purging");
  const Script least = minimised({}, r.script, r.property);
  REQUIRE(least.scans.size() == r.script.scans.size());
  CHECK(play({}, least, r.property).violated_in == least.scans.size() - 1);
  // Buttons are usually up: only the two presses are left.
  CHECK(least.scans[0] == Reading{});
  CHECK(least.scans[1] == Reading{bit(Fact::reset_pressed), bit(Fact::reset_pressed)});
  CHECK(least.scans[2] == Reading{});
  CHECK(least.scans[3] == Reading{bit(Fact::start_pressed), bit(Fact::start_pressed)});
}

TEST_CASE("taking any further fact out of a minimised script saves the property") {
  const logic::Options options{};
  const Refuted r = refuted("never command.k1", options);
  const Script least = minimised(options, r.script, r.property);
  REQUIRE(play(options, least, r.property).violated_in.has_value());
  for (std::size_t i = 0; i < least.scans.size(); ++i) {
    for (FactSet left = least.scans[i].known; left != 0; left &= left - 1) {
      Script less = least;
      less.scans[i].known &= ~(left & ~(left - 1));
      less.scans[i].value &= less.scans[i].known;
      CHECK_FALSE(play(options, less, r.property).violated_in.has_value());
    }
  }
}

TEST_CASE(
    "what the process must not have brought about is found where several facts do it together") {
  const logic::Options options{};
  // Stop leads to cooling while the oven is hot; with the gas settled and the load cool it is
  // ready to unload at once. Either may have come, but not both.
  const Refuted r = refuted("never phase = cooling", options);
  const Script least = minimised(options, r.script, r.property);
  const std::vector<FactSet> needed = needed_as_usual(options, least, r.property);
  REQUIRE(needed.size() == least.scans.size());
  CHECK(needed.back() == bit(Fact::cool_to_unload));  // of the two, the one that comes last
  Script reached = least;
  for (const Fact fact : {Fact::gas_settled, Fact::cool_to_unload})
    reached.scans.back() = reached.scans.back() | Reading{bit(fact), bit(fact)};
  CHECK_FALSE(play(options, reached, r.property).violated_in.has_value());
  reached.scans.back().value &= ~needed.back();
  CHECK(play(options, reached, r.property).violated_in.has_value());
  CHECK(needed.front() == 0);  // tripped, whatever the process has done
}

TEST_CASE("what a script says excludes what is usual beside it") {
  Script script;
  script.scans.push_back({bit(Fact::door_open), bit(Fact::door_open)});
  const Played played = play({}, script, test::compiled("never fact.door_closed"));
  CHECK_FALSE(played.violated_in.has_value());
}
