#include "sim/prove/proof.hpp"

#include <algorithm>
#include <array>
#include <chrono>
#include <stdexcept>

#include "firmware/logic/enumerator_name.hpp"

namespace ovenproof::prove {
namespace {

/// Formulas that are proved speak of no time; the language wants to know a scan all the same.
constexpr std::chrono::milliseconds scan{10};

Standing standing_of(const Judgement& judgement, bool complete) {
  if (judgement.violated) return Standing::refuted;
  if (!complete) return Standing::open;
  return judgement.premise_met() ? Standing::proved : Standing::vacuous;
}

}  // namespace

const char* name_of(Standing standing) {
  return logic::enumerator_names<Standing, 4>.at(static_cast<std::size_t>(standing));
}

std::vector<Part> Proof::dead() const {
  std::vector<Part> all;
  std::copy_if(idle.begin(), idle.end(), std::back_inserter(all), [](const Part& part) {
    return part.kind != PartKind::cell && part.idle_because.empty();
  });
  return all;
}

bool Proof::holds() const {
  return complete && as_explored && !recovery.stuck && dead().empty() &&
         std::all_of(claims.begin(), claims.end(),
                     [](const Claim& claim) { return claim.standing == Standing::proved; });
}

Checked check(const std::vector<Interlock>& interlocks) {
  Checked checked;
  for (const Interlock& interlock : interlocks) {
    const properties::Compiled compiled = properties::compile(interlock.text, signal_table(), scan);
    std::vector<properties::Diagnostic> errors = compiled.errors;
    if (compiled.property) errors = provable(*compiled.property);
    for (const properties::Diagnostic& error : errors) {
      checked.errors.push_back(interlock.id + " " + error.message());
    }
    if (errors.empty()) checked.properties.push_back(*compiled.property);
  }
  return checked;
}

Proof prove(const Subject& subject, const Durations& durations,
            const std::vector<Interlock>& interlocks, const Limits& limits) {
  std::vector<Interlock> fitting;
  std::copy_if(interlocks.begin(), interlocks.end(), std::back_inserter(fitting),
               [](const Interlock& interlock) { return interlock.applies; });
  Checked checked = check(fitting);
  if (!checked.errors.empty()) throw std::invalid_argument(checked.errors.front());

  const Histories histories(checked.properties, subject.options);
  const Exploration exploration = explore(subject, histories, limits);

  Proof proof;
  proof.options = subject.options;
  proof.complete = exploration.complete;
  proof.stopped = limits.stop_at_violation && !exploration.complete &&
                  std::any_of(exploration.properties.begin(), exploration.properties.end(),
                              [](const Judgement& each) { return each.violated.has_value(); });
  proof.as_explored = exploration.as_explored;
  proof.states = exploration.states.size();
  proof.scans = exploration.scans;
  proof.steps = exploration.steps;
  proof.transitions = exploration.transitions;
  proof.depth = exploration.depth;
  proof.peak_bytes = exploration.peak_bytes;
  for (std::size_t i = 0; i < fitting.size(); ++i) {
    const Judgement& judgement = exploration.properties[i];
    Claim claim{fitting[i], standing_of(judgement, exploration.complete), {}, {}, {}, {}};
    if (claim.standing == Standing::vacuous) claim.never_met = judgement.never_met;
    if (claim.standing == Standing::refuted) {
      const properties::Property& property = checked.properties[i];
      const Script script = script_of(subject, histories, exploration, i);
      const bool replays = play(subject.options, script, property).violated_in.has_value();
      // Where a scan does not do what its steps do, a run by scans may go another way.
      if (!replays && exploration.as_explored) {
        throw std::logic_error("the counterexample of " + claim.interlock.id + " does not replay");
      }
      claim.script = replays ? minimised(subject.options, script, property) : script;
      claim.played = play(subject.options, *claim.script, property);
      claim.as_usual = needed_as_usual(subject.options, *claim.script, property);
    }
    proof.claims.push_back(std::move(claim));
  }
  for (const Part& part : parts(subject.options)) {
    if (!part.fitted) continue;
    ++proof.parts;
    if (exploration.coverage.seen(part)) continue;
    proof.idle.push_back(part);
    if (subject.assumed.known != 0 && part.idle_because.empty()) {
      proof.idle.back().idle_because = "facts are assumed that never change";
    }
  }
  proof.recovery = recover(subject.options, durations, exploration.states);
  return proof;
}

std::vector<std::string> assumptions(const Subject& subject) {
  std::vector<std::string> all;
  for (const Exclusion& pair : exclusions) {
    all.push_back(std::string(logic::name_of(pair.one)) + " and " + logic::name_of(pair.other) +
                  " are never true in one scan");
  }
  for (std::size_t i = 0; i < logic::fact_count; ++i) {
    const FactSet fact = FactSet{1} << i;
    if ((subject.assumed.known & fact) == 0) continue;
    all.push_back(std::string(logic::name_of(static_cast<logic::Fact>(i))) + " is always " +
                  ((subject.assumed.value & fact) != 0 ? "true" : "false"));
  }
  return all;
}

std::vector<logic::Options> all_options() {
  std::vector<logic::Options> all;
  for (const bool oxygen : {true, false}) {
    for (const bool jacket : {true, false}) {
      for (const bool door : {true, false}) {
        for (std::uint8_t repurges = 0; repurges <= 3; ++repurges) {
          all.push_back({oxygen, jacket, door, repurges});
        }
      }
    }
  }
  return all;
}

}  // namespace ovenproof::prove
