#include "sim/app/prove_report.hpp"

#include <algorithm>
#include <map>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "firmware/logic/matrix.hpp"
#include "sim/app/cautions.hpp"

namespace ovenproof::app {
namespace {

using prove::Claim;
using prove::Part;
using prove::PartKind;
using prove::Proof;
using prove::Standing;

std::string standing_text(Standing standing, const Style& style) {
  switch (standing) {
    case Standing::proved:
      return style.good("PROVED ");
    case Standing::refuted:
      return style.error("REFUTED");
    case Standing::vacuous:
      return style.warning("VACUOUS");
    default:
      return style.warning("OPEN   ");
  }
}

std::string numbers(const Proof& proof) {
  std::string text = paragraph(
      fmt::format("{} states, the farthest {} scans from power-up, {} transitions; "
                  "{} scans that differ in what the logic saw, run in {} steps; {:.1f} "
                  "MiB for the states, {:.0f} bytes each.",
                  proof.states, proof.depth, proof.transitions, proof.scans, proof.steps,
                  static_cast<double>(proof.peak_bytes) / (1 << 20), proof.bytes_per_state()),
      2, 2);
  if (!proof.as_explored) {
    text += paragraph(
        "DIFFERS: the scan that the controller calls does something else than its steps, which are "
        "what was explored. So nothing here is proved of what runs. REQ-SAY-03 shows where.",
        2, 2);
  }
  if (!proof.complete) {
    text += paragraph(
        proof.stopped
            ? "PARTIAL: stopped at the first violation (--first-violation). What is not refuted "
              "here is not proved."
            : "PARTIAL: the memory granted (--max-memory) was used up first. What is not refuted "
              "here is not proved.",
        2, 2);
  }
  return text;
}

/// A counterexample as a table: the facts, the phase they lead to, what is energised.
std::string script_table(const Claim& claim) {
  const std::vector<int> widths{4, 28, 10, 26};
  std::string text = table_row({"scan", "facts unlike the usual", "phase", "energised"}, widths, 4);
  const prove::Script& script = *claim.script;
  for (std::size_t i = 0; i < script.scans.size(); ++i) {
    const logic::LogicState after = prove::unpack(claim.played->scans[i].answer.state);
    text += table_row({std::to_string(i), facts_text(script.scans[i]),
                       logic::name_of(after.places.phase), outputs_text(after.memory.energised)},
                      widths, 4);
  }
  return text +
         paragraph(fmt::format("Starts tripped ({}). Facts not listed are those of a healthy oven "
                               "that follows its outputs.",
                               logic::row_of(script.born).key),
                   4, 4);
}

std::string claims_text(const Proof& proof, const Style& style) {
  std::string text;
  for (const Claim& claim : proof.claims) {
    const std::vector<std::string> title = wrapped(claim.interlock.title, 56);
    text += fmt::format("  {} {:<13}{}\n", standing_text(claim.standing, style), claim.interlock.id,
                        title.front());
    for (std::size_t i = 1; i < title.size(); ++i) text += std::string(23, ' ') + title[i] + '\n';
    if (claim.standing == Standing::vacuous) {
      std::string never;
      for (const std::string& each : claim.never_met) never += (never.empty() ? "" : "; ") + each;
      text += paragraph("shows nothing: this never happens: " + never, 23, 23);
    }
    if (claim.script) text += script_table(claim);
  }
  return text;
}

std::string idle_text(const Proof& proof) {
  std::map<PartKind, std::vector<std::string>> idle;
  std::map<std::string, std::vector<std::string>> explained;
  for (const Part& part : proof.idle) {
    (part.idle_because.empty() ? idle[part.kind] : explained[part.idle_because])
        .push_back(part.name);
  }
  std::string text;
  for (const auto& [reason, names] : explained) {
    text +=
        paragraph(fmt::format("Never at work, since {}: {}", reason, fmt::join(names, ", ")), 2, 4);
  }
  const auto list = [&](PartKind kind, const char* what) {
    if (idle[kind].empty()) return;
    text += paragraph(fmt::format("{}: {}", what, fmt::join(idle[kind], ", ")), 2, 4);
  };
  list(PartKind::state, "DEAD states");
  list(PartKind::transition, "DEAD transitions");
  list(PartKind::row, "DEAD rows of the matrix");
  std::map<std::string, std::string> cells;
  for (const std::string& cell : idle[PartKind::cell]) {
    const std::size_t slash = cell.find(" / ");
    std::string& outputs = cells[cell.substr(0, slash)];
    outputs += (outputs.empty() ? "" : " ") + cell.substr(slash + 3);
  }
  if (!cells.empty()) {
    text += paragraph(
        fmt::format("{} matrix cells never act: the sequence has already switched the output off. "
                    "They are the second line of defence:",
                    idle[PartKind::cell].size()),
        2, 2);
    for (const auto& [row, outputs] : cells) text += paragraph(row + ": " + outputs, 4, 6);
  }
  return text;
}

std::string recovery_text(const Proof& proof, const Style& style) {
  const prove::Recovery& r = proof.recovery;
  if (r.stuck) {
    const logic::LogicState from = prove::unpack(r.stuck->from);
    return "  " + style.error("STUCK") +
           paragraph(fmt::format(" From a state in {} (first-out {}) {} is not reached with all "
                                 "causes gone; after {:.1f} h the oven is in {}.",
                                 logic::name_of(from.places.phase),
                                 from.memory.first_out == logic::Cause::none
                                     ? "none"
                                     : logic::row_of(from.memory.first_out).key,
                                 r.stuck->wanted, static_cast<double>(r.stuck->after_ms) / 3.6e6,
                                 logic::name_of(r.stuck->at.places.phase)),
                     0, 2);
  }
  return paragraph(
      fmt::format("From each of {} states of the logic a healthy oven with an attendant who resets "
                  "and stops comes to rest in standby, within {:.1f} h. From each of {} states of "
                  "a running cycle, left alone, it comes to unloading or to rest, within {:.1f} h.",
                  r.states, static_cast<double>(r.longest_ms) / 3.6e6, r.cycles,
                  static_cast<double>(r.longest_cycle_ms) / 3.6e6),
      2, 2);
}

/// One line a combination, then the claims over all of them.
std::string all_options_text(const ProveResult& result, const Style& style) {
  std::string text;
  std::map<std::string, std::vector<std::size_t>> failing;
  std::map<std::string, const Claim*> claims;
  for (std::size_t i = 0; i < result.proofs.size(); ++i) {
    const Proof& proof = result.proofs[i];
    std::size_t proved = 0;
    for (const Claim& claim : proof.claims) {
      claims.try_emplace(claim.interlock.id, &claim);
      if (claim.standing == Standing::proved) {
        ++proved;
      } else {
        failing[claim.interlock.id].push_back(i);
      }
    }
    text +=
        "  " + (proof.holds() ? style.good("PROVED ") : style.error("FAILS  ")) + " " +
        paragraph(fmt::format("{}: {} of {} interlocks, {} states, {} scans{}{}{}{}",
                              options_text(proof.options), proved, proof.claims.size(),
                              proof.states, proof.scans,
                              proof.complete  ? ""
                              : proof.stopped ? ", PARTIAL: stopped at a violation"
                                              : ", PARTIAL: memory used up",
                              proof.recovery.stuck ? ", STUCK" : "",
                              proof.dead().empty() ? "" : ", DEAD parts",
                              proof.as_explored ? "" : ", DIFFERS from what the controller calls"),
                  0, 10);
  }
  for (const auto& [id, which] : failing) {
    const Proof& proof = result.proofs[which.front()];
    const auto claim = std::find_if(proof.claims.begin(), proof.claims.end(),
                                    [&id = id](const Claim& c) { return c.interlock.id == id; });
    text += "\n  " + standing_text(claim->standing, style) + " " +
            paragraph(fmt::format("{} {}: first with {}", id, claim->interlock.title,
                                  options_text(proof.options)),
                      0, 10);
    if (claim->script) text += script_table(*claim);
  }
  return text;
}

}  // namespace

bool ProveResult::all_hold() const {
  return std::all_of(proofs.begin(), proofs.end(), [](const Proof& p) { return p.holds(); });
}

std::string options_text(const logic::Options& options) {
  return fmt::format("{}, {}, {}, {} re-purge{}",
                     options.oxygen_monitor ? "oxygen monitor" : "no oxygen monitor",
                     options.jacket_cooling ? "jacket cooling" : "no jacket cooling",
                     options.start_by_door ? "start by door" : "start by button",
                     options.max_repurges, options.max_repurges == 1 ? "" : "s");
}

std::string facts_text(const prove::Reading& reading) {
  std::string text;
  for (std::size_t i = 0; i < logic::fact_count; ++i) {
    const auto fact = static_cast<logic::Fact>(i);
    if ((reading.known & logic::bit(fact)) == 0) continue;
    text += (text.empty() ? "" : ", ");
    text += (reading.value & logic::bit(fact)) != 0 ? "" : "not ";
    text += logic::name_of(fact);
  }
  return text;
}

std::string outputs_text(logic::OutputSet outputs) {
  std::string text;
  for (std::size_t i = 0; i < logic::output_count; ++i) {
    const auto output = static_cast<logic::Output>(i);
    if (!outputs.has(output)) continue;
    text += (text.empty() ? "" : " ");
    text += logic::name_of(output);
  }
  return text.empty() ? "-" : text;
}

std::string prove_report(const ProveResult& result, const Style& style) {
  std::string text;
  if (result.proofs.size() == 1) {
    const Proof& proof = result.proofs.front();
    text += style.heading(result.machine.empty() ? "Every order of events" : result.machine) + "\n";
    text += paragraph(options_text(proof.options), 2, 2) + numbers(proof);
    text += "\n" + style.heading("Interlocks") + "\n" + claims_text(proof, style);
    text += "\n" + style.heading("Recovery and progress") + "\n" + recovery_text(proof, style);
    text += "\n" + style.heading("Logic at work") + "\n" +
            paragraph(fmt::format("{} of {} states, transitions, rows and cells were seen at work.",
                                  proof.parts - proof.idle.size(), proof.parts),
                      2, 2) +
            idle_text(proof);
  } else {
    text +=
        style.heading("Every machine that can be ordered") + "\n" + all_options_text(result, style);
  }
  text += "\n" + style.heading("Assumed, and nothing else") + "\n";
  for (const std::string& each : result.assumptions) text += paragraph("- " + each, 2, 4);
  text += paragraph(
      "A fact may change in any scan, and a timer that runs may elapse in any scan or never, so "
      "what is proved does not depend on a debounce, a hysteresis or a delay. It is proved of the "
      "logic alone: that a fact is the actual state is for conditioning, sensors and wiring.",
      2, 2);
  return text + "\n" + paragraph("Caution: " + std::string(caution));
}

}  // namespace ovenproof::app
