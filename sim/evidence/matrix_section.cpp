#include <algorithm>
#include <array>

#include <nlohmann/json.hpp>

#include "firmware/controller/configuration.hpp"
#include "firmware/logic/matrix.hpp"
#include "sim/evidence/sections.hpp"
#include "sim/evidence/values.hpp"
#include "sim/machine/cause_tags.hpp"

namespace ovenproof::evidence {
namespace {

using logic::Row;

Json phases(logic::PhaseSet set) {
  if (set == logic::any_phase) return "any";
  Json names = Json::array();
  for (std::size_t i = 0; i < logic::phase_count; ++i) {
    const auto phase = static_cast<logic::Phase>(i);
    if (set.has(phase)) names.push_back(logic::name_of(phase));
  }
  return names;
}

Json condition(const logic::Condition& c) {
  if (c.otherwise != nullptr) return nullptr;
  return {{"fact", logic::name_of(c.fact)},
          {"is", c.is},
          {"while_on", names_of(c.while_on)},
          {"while_off", names_of(c.while_off)}};
}

/// What the scenarios that passed did to the matrix, and how many of them.
struct Played {
  std::array<std::size_t, logic::cause_count> came{};
  scenario::Coverage all;
};

Played played(const Findings& findings) {
  Played sum;
  if (!findings.scenarios) return sum;
  for (const scenario::CaseResult& result : findings.scenarios->results) {
    if (!result.passed()) continue;
    sum.all.merge(result.coverage);
    for (std::size_t i = 0; i < logic::cause_count; ++i) {
      sum.came[i] += result.coverage.came(static_cast<logic::Cause>(i)) ? 1 : 0;
    }
  }
  return sum;
}

/// Whether the exploration of all orders of events ever saw the part at work.
bool idle(const Findings& findings, prove::PartKind kind, std::size_t row, std::size_t output) {
  const std::vector<prove::Part>& parts = findings.proof->proof.idle;
  return std::any_of(parts.begin(), parts.end(), [&](const prove::Part& part) {
    return part.kind == kind && part.index == row &&
           (kind == prove::PartKind::row || part.output == output);
  });
}

/// One letter for each output, docs/evidence.md explains them.
std::string cells(const Row& row, const Findings& findings, const Played& done, bool there) {
  std::string text;
  for (std::size_t o = 0; o < logic::output_count; ++o) {
    const auto output = static_cast<logic::Output>(o);
    const bool air = output == logic::Output::damper || output == logic::Output::blower;
    if (!row.withholds.has(output)) {
      text += '.';
    } else if (!there || (air && !findings.machine.settings.options.jacket_cooling)) {
      text += '-';
    } else if (done.all.withheld(row.cause, output)) {
      text += 'S';
    } else if (!findings.proof) {
      text += 'N';
    } else {
      text +=
          idle(findings, prove::PartKind::cell, static_cast<std::size_t>(row.cause), o) ? 'B' : 'P';
    }
  }
  return text;
}

}  // namespace

Json matrix_section(const Findings& findings) {
  const controller::Configuration configuration = controller::configure(findings.machine.settings);
  const Played done = played(findings);
  Json outputs = Json::array();
  for (std::size_t i = 0; i < logic::output_count; ++i) {
    outputs.push_back(logic::name_of(static_cast<logic::Output>(i)));
  }
  Json rows = Json::array();
  for (std::size_t i = 0; i < logic::cause_count; ++i) {
    const Row& row = logic::matrix[i];
    const bool there = fitted(row.needs, configuration.options);
    Json one{{"cause", row.key},
             {"tag", machine::tags_of_cause(row.key, findings.machine)},
             {"text", row.text},
             {"kind", row.kind == logic::Kind::trip ? "trip" : "inhibit"},
             {"fitted", there},
             {"phases", phases(row.phases)},
             {"condition", condition(row.condition)}};
    if (row.delay != logic::Timer::count) {
      one["delay_s"] = seconds(configuration.timers[static_cast<std::size_t>(row.delay)].value);
    }
    one["withholds"] = names_of(row.withholds);
    one["cells"] = cells(row, findings, done, there);
    if (findings.scenarios) one["cases"] = done.came[i];
    if (findings.proof) {
      one["explored"] = there && !idle(findings, prove::PartKind::row, i, 0);
    }
    rows.push_back(std::move(one));
  }
  return {{"outputs", std::move(outputs)}, {"rows", std::move(rows)}};
}

}  // namespace ovenproof::evidence
