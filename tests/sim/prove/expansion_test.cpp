#include "sim/prove/expansion.hpp"

#include <bit>
#include <map>
#include <set>
#include <tuple>
#include <vector>

#include <doctest/doctest.h>

#include "prove_tools.hpp"

using namespace ovenproof;
using namespace ovenproof::prove;
using logic::Fact;

namespace {

/// One whole run of the logic, with facts chosen one by one as it looks at them.
struct Run {
  Answer answer;
  Reading reading;
  logic::TimerSet timers;
};

/// All runs from a state: what the graph of a scan must come to in steps.
std::vector<Run> runs_from(std::uint64_t bits, const Subject& subject) {
  logic::Logic logic(subject.options);
  Adversary adversary;
  std::vector<Run> runs;
  adversary.begin(subject.assumed);
  do {
    logic.resume(unpack(bits));
    const logic::Commands commands = logic.scan(adversary.facts());
    const Reading& r = adversary.reading();
    runs.push_back({answer_of(logic.state(), commands, r.known),
                    {r.known | excluded_by(r.value), r.value},
                    commands.timers});
  } while (adversary.next());
  return runs;
}

/// States of the logic from all over its course, of machines that differ.
struct Sample {
  Subject subject;
  std::vector<std::uint64_t> states;
};

std::vector<Sample> samples(std::size_t every) {
  std::vector<Sample> all;
  for (const logic::Options& options :
       {logic::Options{true, false, true, 2}, logic::Options{false, false, false, 0}}) {
    Sample sample{{options}, {}};
    const Histories none({}, options);
    const Exploration e = explore(sample.subject, none, {});
    REQUIRE(e.complete);
    for (std::size_t i = 0; i < e.states.size(); i += every) {
      sample.states.push_back(e.states.key(static_cast<StateStore::Index>(i)).logic);
    }
    all.push_back(std::move(sample));
  }
  return all;
}

/// Packed state, flags, and the reading: facts looked at, their values, and the timers that run.
using Seen = std::tuple<std::uint64_t, unsigned, FactSet, FactSet, logic::TimerSet>;

Seen seen(const Answer& a, const Reading& r, logic::TimerSet timers = 0) {
  const unsigned flags = (a.programme_restart ? 1U : 0U) | (a.programme_advance ? 2U : 0U) |
                         (a.count_purge ? 4U : 0U) | (a.acknowledge ? 8U : 0U);
  return {a.state, flags, r.known, r.value, timers};
}

/// Numbers that look random and are the same everywhere (constants
/// from memory: D. E. Knuth, The Art of Computer Programming 2, 3.3.4: check against the source).
struct Draw {
  std::uint64_t seed;
  std::uint64_t operator()() {
    seed = seed * 6364136223846793005ULL + 1442695040888963407ULL;
    return seed >> 20;
  }
};

}  // namespace

TEST_CASE(
    "taken in steps the logic answers what it answers in one go, for every reading, and as often") {
  for (const Sample& sample : samples(41)) {
    ScanGraph graph(sample.subject.options, {}, false);
    FactWalk walk;
    const Question any_scan;
    for (const std::uint64_t from : sample.states) {
      const std::vector<Run> runs = runs_from(from, sample.subject);
      std::set<Seen> expected;
      for (const Run& run : runs) expected.insert(seen(run.answer, run.reading, run.timers));
      REQUIRE(expected.size() == runs.size());

      graph.build(from);
      walk.begin(graph, {&any_scan, 1});
      for (const auto leaf : graph.leaves()) walk.want(leaf, 1);
      walk.walk({.facts = ~FactSet{0}});
      std::set<Seen> found;
      std::uint64_t scans = 0;
      for (const auto leaf : graph.leaves()) {
        for (auto a = walk.first_at(leaf); a != FactWalk::none; a = walk.arrival(a).next) {
          found.insert(seen(graph.answer(leaf), walk.arrival(a).told, walk.timers_on_the_way(a)));
          CHECK(walk.whole(a) == walk.arrival(a).told);
          scans += walk.arrival(a).scans;
        }
      }
      REQUIRE(found == expected);
      CHECK(scans == runs.size());
    }
  }
}

TEST_CASE("a question is answered with yes just where some run answers it so") {
  std::uint64_t yes = 0;
  std::uint64_t no = 0;
  for (const Sample& sample : samples(97)) {
    ScanGraph graph(sample.subject.options, {}, false);
    FactWalk walk;
    Draw draw{sample.states.size()};
    for (const std::uint64_t from : sample.states) {
      const std::vector<Run> runs = runs_from(from, sample.subject);
      std::vector<Question> questions(64);
      for (Question& question : questions) {
        // Of facts that one run saw most are left as they were.
        const Reading& some = runs[draw() % runs.size()].reading;
        question.facts.known = some.known & draw() & draw();
        question.facts.value = (some.value ^ (draw() & draw() & draw())) & question.facts.known;
        if ((excluded_by(question.facts.value) & question.facts.value) != 0) question.facts = {};
        question.facts.known |= excluded_by(question.facts.value);
        // None, one or several timers, that run or do not as in some run.
        const Run& other = runs[draw() % runs.size()];
        question.timers.known = static_cast<logic::TimerSet>(draw() & draw() & draw()) &
                                ((logic::TimerSet{1} << logic::timer_count) - 1);
        if (draw() % 2 == 0) question.timers.known |= other.timers;
        question.timers.value = question.timers.known & other.timers;
      }
      graph.build(from);
      walk.begin(graph, questions);
      for (const auto leaf : graph.leaves()) walk.want(leaf, ~std::uint64_t{0});
      walk.walk({});
      std::map<std::pair<std::uint64_t, unsigned>, std::uint64_t> expected;
      for (const Run& run : runs) {
        const Seen key = seen(run.answer, {});
        std::uint64_t& bits = expected[{std::get<0>(key), std::get<1>(key)}];
        for (std::size_t n = 0; n < questions.size(); ++n) {
          const Reading& q = questions[n].facts;
          const TimerReading& timers = questions[n].timers;
          const bool fits = (q.known & run.reading.known & (q.value ^ run.reading.value)) == 0 &&
                            (timers.known & (timers.value ^ run.timers)) == 0;
          bits |= std::uint64_t{fits} << n;
        }
      }
      // Several leaves may give the same answer, some of them by facts that contradict each other.
      std::map<std::pair<std::uint64_t, unsigned>, std::uint64_t> found;
      for (const auto leaf : graph.leaves()) {
        const Seen key = seen(graph.answer(leaf), {});
        std::uint64_t& bits = found[{std::get<0>(key), std::get<1>(key)}];
        for (auto a = walk.first_at(leaf); a != FactWalk::none; a = walk.arrival(a).next) {
          bits |= walk.arrival(a).yes;
        }
      }
      std::erase_if(found, [&](const auto& each) {
        return each.second == 0 && !expected.contains(each.first);
      });
      REQUIRE(found == expected);
      for (const auto& [answer, bits] : found) {
        yes += static_cast<std::uint64_t>(std::popcount(bits));
        no += static_cast<std::uint64_t>(64 - std::popcount(bits));
      }
    }
  }
  CHECK(yes > 1000);
  CHECK(no > 1000);
}

TEST_CASE(
    "an expansion finds what judging every single run finds: memories, violations, premises") {
  for (const Sample& sample : samples(151)) {
    const logic::Options& options = sample.subject.options;
    std::vector<std::string> texts;
    for (const Interlock& interlock : interlocks(options)) {
      if (interlock.applies) texts.push_back(interlock.text);
    }
    // Some that do not hold, and some that ask this scan and the one before together.
    texts.emplace_back("never (fact.fan_running and fact.purge_flow)");
    texts.emplace_back("always (rises(fact.door_closed) implies once fact.start_pressed)");
    texts.emplace_back("always (first_out = none since fact.estop_healthy)");
    texts.emplace_back("never rises(first_out = limiter_tripped)");
    texts.emplace_back("always (rises(first_out = clock_jump) implies fact.gas_supply_ok)");
    texts.emplace_back("always (timer.fan_not_proven implies once timer.changeover)");
    texts.emplace_back("never (timer.k1_not_open and timer.k2_not_open and timer.changeover)");
    texts.emplace_back("always (rises(timer.changeover) implies fact.gas_supply_ok)");
    const Histories histories(test::compiled(texts), options);
    REQUIRE(sample.subject.merges(histories));

    Draw draw{7};
    Expanded found;
    std::set<std::uint64_t> memories{histories.at_birth()};
    for (const std::uint64_t logic_state : sample.states) {
      const std::uint64_t from = with_representative(logic_state);
      // A memory that an expansion before left.
      auto memory = memories.begin();
      std::advance(memory, draw() % memories.size());
      const std::uint64_t history = *memory;

      ProspectStore store;
      Expansion expansion(sample.subject, histories, store);
      Coverage coverage(options);
      expansion.enter(from);
      expansion.expand(history, coverage, found);
      const std::uint64_t kept_mask = histories.kept_mask();
      std::set<std::pair<std::uint64_t, std::uint64_t>> next;
      for (const Key& key : found.next) {
        next.emplace(key.logic, key.history & ~kept_mask);
        if (memories.size() < 40) memories.insert(key.history);
      }

      std::set<std::pair<std::uint64_t, std::uint64_t>> expected;
      Histories::Verdicts verdicts;
      const ToldValues before = told_by({.state = from}, options);
      const Reading kept = histories.kept_reading(history);
      Histories::Outlook outlook;
      Adversary adversary;
      for (const Run& run : runs_from(from, sample.subject)) {
        const ToldValues now = told_by(run.answer, options);
        const Histories::View view{before, now, history};
        histories.look_ahead(view, outlook);
        verdicts.violated |= outlook.verdicts.violated;
        verdicts.premises |= outlook.verdicts.premises;
        const TimerReading timers{~logic::TimerSet{0}, run.timers};
        adversary.begin(run.reading, kept, timers);
        do {
          expected.emplace(with_representative(run.answer.state),
                           histories.remember(view, outlook, adversary));
        } while (adversary.next());
        for (std::size_t p = 0; p < histories.size(); ++p) {
          if (!outlook.open_obligations[p]) continue;
          adversary.begin(run.reading, kept, timers);
          do {
            const Histories::Verdict v = histories.judge(p, view, outlook, adversary);
            if (!v.holds) verdicts.violated.set(p);
            if (v.premise) verdicts.premises.set(p);
          } while (adversary.next());
        }
      }
      REQUIRE(next == expected);
      CHECK(found.verdicts.violated == verdicts.violated);
      CHECK(found.verdicts.premises == verdicts.premises);
    }
    CHECK(memories.size() > 5);
  }
}

TEST_CASE("parts of the logic are seen at work just where some whole run shows them so") {
  std::size_t seen = 0;
  std::size_t idle = 0;
  // Few states at a time, so that much stays unseen.
  for (const Sample& sample : samples(23)) {
    const logic::Options& options = sample.subject.options;
    const Histories none({}, options);
    ProspectStore store;
    Expansion expansion(sample.subject, none, store);
    Expanded expanded;
    for (std::size_t first = 0; first + 4 <= sample.states.size(); first += 4) {
      Coverage found(options);
      Coverage expected(options);
      for (std::size_t i = first; i < first + 4; ++i) {
        const std::uint64_t from = with_representative(sample.states[i]);
        expansion.enter(from);
        expansion.expand(none.at_birth(), found, expanded);
        const logic::LogicState before = unpack(from);
        for (const Run& run : runs_from(from, sample.subject)) {
          const logic::LogicState after = unpack(run.answer.state);
          const bool trips = before.memory.first_out == logic::Cause::none;
          expected.note(
              {before, after, run.reading, trips ? after.memory.first_out : logic::Cause::none});
        }
      }
      for (const Part& part : parts(options)) {
        CAPTURE(part.name);
        CHECK(found.seen(part) == expected.seen(part));
        ++(expected.seen(part) ? seen : idle);
      }
    }
  }
  CHECK(seen > 500);
  CHECK(idle > 500);
}
