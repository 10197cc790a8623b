#include <algorithm>
#include <rapidcheck.h>
#include <string>
#include <tuple>
#include <vector>

#include <doctest/doctest.h>

#include "property.hpp"
#include "prove_tools.hpp"
#include "sim/properties/monitor.hpp"

using namespace ovenproof;
using namespace ovenproof::prove;

namespace {

/// Conditions of every shape: over facts, states and commands that a state keeps, and commands that
/// it does not keep.
const std::vector<std::string> atoms{
    "fact.start_pressed",
    "fact.door_closed",
    "fact.door_open",
    "fact.oxygen_at_gate",
    "fact.oxygen_above_hold",
    "phase = standby",
    "phase in {tripped, purging}",
    "command.fan",
    "command.count_purge",
    "command.acknowledge",
    "armed",
    "changes(phase)",
    "changes(fact.door_closed)",
    "changes(command.acknowledge)",
    "timer.changeover",
    "timer.fan_not_proven",
    "changes(timer.k1_not_open)",
    "option.oxygen_monitor",
    "true",
};

/// A random condition from a tape of bytes; shorter tapes make simpler ones.
std::string condition(const std::vector<std::uint8_t>& tape, std::size_t& at, int depth) {
  const auto choose = [&](std::size_t count) { return at < tape.size() ? tape[at++] % count : 0; };
  const auto inner = [&] { return condition(tape, at, depth - 1); };
  const std::size_t kind = depth == 0 ? 0 : choose(12);
  switch (kind) {
    case 1:
      return "(not " + inner() + ")";
    case 2:
      return "(" + inner() + " and " + inner() + ")";
    case 3:
      return "(" + inner() + " or " + inner() + ")";
    case 4:
      return "(" + inner() + " implies " + inner() + ")";
    case 5:
      return "(once " + inner() + ")";
    case 6:
      return "(historically " + inner() + ")";
    case 7:
      return "(" + inner() + " since " + inner() + ")";
    case 8:
      return "rises(" + inner() + ")";
    case 9:
      return "falls(" + inner() + ")";
    case 10:
      return "(" + inner() + " and " + inner() + " and " + inner() + ")";
    default:
      return atoms[choose(atoms.size())];
  }
}

/// A run of the logic whose facts are all drawn from the tape, but never exclude each other.
struct Run {
  explicit Run(const logic::Options& options) : logic(options) {}
  logic::Logic logic;
  FactSet facts = 0;
  logic::TimerSet timers = 0;

  Answer scan(FactSet drawn) {
    facts = drawn;
    for (const Exclusion& pair : exclusions) {
      if ((facts & bit(pair.one)) != 0) facts &= ~bit(pair.other);
    }
    const logic::Commands commands =
        logic.scan({this, [](const void* self, logic::Fact fact) {
                      return (static_cast<const Run*>(self)->facts & bit(fact)) != 0;
                    }});
    timers = commands.timers;
    return answer_of(logic.state(), commands, 0);
  }
};

/// Histories against the monitors on the same run: whether some scan violates it, scan by scan.
/// `shown` are the facts that the logic is taken to have looked at; the adversary must be able to
/// choose the others as they were, so the run's truth must be among the ways.
bool agrees(const std::string& text, const logic::Options& options,
            const std::vector<std::pair<FactSet, FactSet>>& scans) {
  const properties::Property property = prove::test::compiled(text);
  REQUIRE(provable(property).empty());
  const Histories histories({property}, options);
  properties::Monitor monitor(property);
  Run run(options);
  ToldValues before{};
  std::uint64_t bits = 0;
  for (const auto& [facts, shown] : scans) {
    const Answer answer = run.scan(facts);
    const ToldValues now = told_by(answer, options);
    std::vector<double> row;
    for (std::size_t i = 0; i < logic::fact_count; ++i) row.push_back(run.facts >> i & 1U ? 1 : 0);
    for (const std::uint8_t value : now) row.push_back(value);
    for (std::size_t i = 0; i < logic::timer_count; ++i)
      row.push_back(run.timers >> i & 1U ? 1 : 0);
    monitor.step(row);
    const bool expected = monitor.standing() == properties::Outcome::violated;

    const Histories::View view{before, now, bits};
    Histories::Outlook outlook;
    histories.look_ahead(view, outlook);
    const auto violated = [&](Adversary& adversary) {
      bool any = false;
      for (std::size_t o = 0; o < histories.size(); ++o) {
        any = any ||
              (outlook.open_obligations[o] ? !histories.judge(o, view, outlook, adversary).holds
                                           : bool{outlook.verdicts.violated[o]});
      }
      return any;
    };
    Adversary adversary;
    // All facts known: one way only, and it must be the run's.
    const Reading all{~FactSet{0}, run.facts};
    const TimerReading timers{~logic::TimerSet{0}, run.timers};
    adversary.begin(all, histories.kept_reading(bits), timers);
    if (violated(adversary) != expected) return false;
    if (expected) return true;  // a monitor that fell stays down
    const std::uint64_t after =
        histories.remember(view, outlook, adversary) | histories.kept_bits(all, outlook.keep);

    // The same with only some facts known: one of the ways comes to the same.
    Adversary partly;
    partly.begin(all.of(shown), histories.kept_reading(bits),
                 {logic::TimerSet(shown), logic::TimerSet(run.timers & shown)});
    bool found = false;
    do {
      const bool fell = violated(partly);
      (void)histories.remember(view, outlook, partly);
      const Reading r = partly.reading();
      if (((r.value ^ run.facts) & r.known) != 0) continue;
      if (((partly.timers().value ^ run.timers) & partly.timers().known) != 0) continue;
      found = found || !fell;
    } while (partly.next());
    if (!found) return false;
    bits = after;
    before = now;
  }
  return true;
}

}  // namespace

TEST_CASE("on random formulas and runs the bits say what the monitors say, in the same scan") {
  using Tape = std::vector<std::uint8_t>;
  ovenproof::test::check_property(
      4711,
      [](const Tape& tape, const std::vector<std::tuple<std::uint64_t, std::uint64_t>>& drawn,
         bool inverse) {
        std::size_t at = 0;
        const char* const around = inverse                ? "never "
                                   : tape.size() % 5 == 4 ? "at_start "
                                                          : "always ";
        const std::string text = around + condition(tape, at, 4);
        std::vector<std::pair<FactSet, FactSet>> scans;
        for (const auto& [facts, shown] : drawn) scans.emplace_back(facts, shown);
        RC_LOG(text);
        RC_ASSERT(agrees(text, {.start_by_door = true}, scans));
      },
      3000);
}

TEST_CASE("every interlock can be proved, and says on random runs what its monitor says") {
  std::uint64_t seed = 99;
  for (const bool door : {false, true}) {
    const logic::Options options{.start_by_door = door};
    for (const Interlock& interlock : interlocks(options)) {
      CAPTURE(interlock.id);
      CHECK(provable(prove::test::compiled(interlock.text)).empty());
      ovenproof::test::check_property(
          ++seed,
          [&](const std::vector<std::tuple<std::uint64_t, std::uint64_t>>& drawn) {
            std::vector<std::pair<FactSet, FactSet>> scans;
            for (const auto& [facts, shown] : drawn) scans.emplace_back(facts, shown);
            RC_ASSERT(agrees(interlock.text, options, scans));
          },
          30);
    }
  }
}

TEST_CASE("what needs a clock or the future is refused with its place") {
  const auto refusal = [](const std::string& text) {
    const auto errors = provable(prove::test::compiled(text));
    REQUIRE(errors.size() == 1);
    return errors[0].message();
  };
  CHECK(refusal("eventually command.fan") ==
        "1:1: expected `always`, `never` or `at_start`, without a time, around what is to be "
        "proved, found something else");
  CHECK(refusal("always (command.fan implies once within 1 s fact.fan_running)") ==
        "1:29: expected no time: scans that are explored have no duration, found a time bound");
  CHECK(refusal("always (armed for at least 1 s implies command.fan)").find("no time") !=
        std::string::npos);
}

TEST_CASE("what two properties say in the same words is remembered once") {
  const auto width = [](const std::vector<std::string>& texts) {
    return Histories(prove::test::compiled(texts), {}).width();
  };
  const std::string since = "(command.fan since fact.start_pressed)";
  CHECK(width({"always " + since}) == 2);
  CHECK(width({"always " + since, "never " + since, "always once " + since}) == 3);
  CHECK(width({"always " + since, "always (command.k1 since fact.start_pressed)"}) == 3);
}

TEST_CASE("more properties, or more to remember, than there is room for is refused") {
  std::vector<std::string> texts(1025, "always command.fan");
  CHECK_THROWS_WITH_AS(
      Histories(prove::test::compiled(texts), {}),
      "the properties together have more than 1024 parts that are proved one by one",
      std::invalid_argument);
  texts.clear();
  for (std::size_t i = 0; i < 64; ++i) {
    texts.push_back("always once (command.fan since fact." +
                    std::string(logic::name_of(static_cast<logic::Fact>(i % 32))) +
                    (i < 32 ? ")" : " or command.k1)"));
  }
  CHECK_THROWS_WITH_AS(Histories(prove::test::compiled(texts), {}),
                       "the properties together remember more than 64 bits", std::invalid_argument);
}

TEST_CASE("a fact nobody looks at in its own scan can still be chosen in the next, once") {
  // An edge of start hangs on the scan before only where start is pressed now.
  const Histories histories({prove::test::compiled("always not rises(fact.start_pressed)")}, {});
  const ToldValues told{};
  Histories::Outlook outlook;
  Adversary adversary;
  const Histories::View first{told, told, 0};
  histories.look_ahead(first, outlook);
  adversary.begin();
  const std::uint64_t bits = histories.remember(first, outlook, adversary) |
                             histories.kept_bits(adversary.reading(), outlook.keep);
  CHECK(outlook.open_obligations.none());  // the first scan asks nothing
  CHECK(outlook.verdicts.violated.none());
  CHECK(histories.kept_reading(bits) == Reading{});

  const Histories::View second{told, told, bits};
  histories.look_ahead(second, outlook);
  adversary.begin({}, histories.kept_reading(bits));
  unsigned ways = 0;
  unsigned violated = 0;
  do {
    ++ways;
    violated += histories.judge(0, second, outlook, adversary).holds ? 0 : 1;
  } while (adversary.next());
  CHECK(ways == 3);  // not pressed; pressed, and before: pressed or not
  CHECK(violated == 1);
}

TEST_CASE("a property is taken apart into what must happen for each part of it to say anything") {
  const auto premises = [](const std::string& text) {
    const Histories histories({prove::test::compiled(text)}, {.jacket_cooling = false});
    std::vector<std::string> all;
    for (std::size_t o = 0; o < histories.size(); ++o) {
      all.push_back((histories.concludes(o) ? "" : "also: ") + histories.obligation(o).premise);
    }
    return all;
  };
  using All = std::vector<std::string>;
  CHECK(premises("always command.fan") == All{""});
  CHECK(premises("always (armed implies command.fan)") == All{"armed"});
  CHECK(premises("always ((armed implies command.fan) and command.k1)") == All{"armed", ""});
  CHECK(premises("always (armed implies (command.k1 implies command.fan))") ==
        All{"armed and command.k1"});
  CHECK(premises("always ((armed or command.k2) implies command.fan)") ==
        All{"armed or command.k2", "also: armed", "also: command.k2"});
  CHECK(premises("never (armed and (command.k1 and command.fan))") ==
        All{"", "also: armed", "also: command.k1", "also: command.fan"});
  CHECK(premises("always not (armed or command.k1)") == All{"", ""});
  CHECK(premises("always (armed implies not (command.k1 and command.fan))") ==
        All{"armed", "also: command.k1", "also: command.fan"});
  CHECK(premises("always (rises(armed) implies command.fan)") == All{"rises(armed)"});
  // What the machine has or has not does not happen.
  CHECK(premises("never (option.jacket_cooling and command.damper)") ==
        All{"", "also: command.damper"});
}
