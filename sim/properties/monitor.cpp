#include "sim/properties/monitor.hpp"

#include <stdexcept>
#include <utility>

#include <fmt/format.h>

#include "sim/properties/engine.hpp"
#include "sim/properties/formula.hpp"

namespace ovenproof::properties {

struct MonitorSet::State {
  Engine engine;
  std::vector<bool> violated;
};

namespace {

std::shared_ptr<const Program> shared_program(std::span<const Property> properties) {
  std::vector<const Formula*> formulas;
  for (const Property& property : properties) {
    if (property.scan_period() != properties.front().scan_period() ||
        property.row_width() != properties.front().row_width()) {
      throw std::invalid_argument("properties of different signal tables or scan periods");
    }
    formulas.push_back(&property.formula());
  }
  return std::make_shared<const Program>(build_program(formulas));
}

Outcome outcome_of(Key worst, Key best) {
  if (worst >= 0) return Outcome::holds;
  return best < 0 ? Outcome::violated : Outcome::undecided;
}

}  // namespace

MonitorSet::MonitorSet(std::span<const Property> properties)
    : state_(std::make_unique<State>(
          State{Engine(shared_program(properties)), std::vector<bool>(properties.size())})) {}

MonitorSet::MonitorSet(const MonitorSet& other) : state_(std::make_unique<State>(*other.state_)) {}
MonitorSet::MonitorSet(MonitorSet&&) noexcept = default;
MonitorSet& MonitorSet::operator=(const MonitorSet& other) {
  if (this != &other) state_ = std::make_unique<State>(*other.state_);
  return *this;
}
MonitorSet& MonitorSet::operator=(MonitorSet&&) noexcept = default;
MonitorSet::~MonitorSet() = default;

bool MonitorSet::step(std::span<const double> row) {
  Engine& engine = state_->engine;
  if (row.size() != engine.program().row_width) {
    throw std::invalid_argument("a row of another width than the signal table");
  }
  if (!engine.step(row.data())) return false;
  bool fresh = false;
  for (std::size_t i = 0; i < state_->violated.size(); ++i) {
    if (state_->violated[i] || standing(i) != Outcome::violated) continue;
    state_->violated[i] = true;
    fresh = true;
  }
  return fresh;
}

std::optional<Outcome> MonitorSet::standing(std::size_t property) const {
  const Engine& engine = state_->engine;
  const PropertyPlan& plan = engine.program().properties.at(property);
  const std::optional<bool> truth = engine.settled(plan.margins.front().judgement);
  if (!truth) return std::nullopt;
  return *truth ? Outcome::holds : Outcome::violated;
}

std::uint64_t MonitorSet::scans() const { return state_->engine.scans(); }

std::size_t MonitorSet::size() const { return state_->engine.program().properties.size(); }

std::vector<Verdict> MonitorSet::finish() const {
  const Program& program = state_->engine.program();
  std::vector<Verdict> verdicts(program.properties.size());
  // What a window beyond the end might have held bounds the verdict from both sides.
  Engine worst_end = state_->engine;
  worst_end.run_out(~certain);
  Engine best_end = state_->engine;
  best_end.run_out(certain);
  for (std::size_t i = 0; i < verdicts.size(); ++i) {
    const PropertyPlan& plan = program.properties[i];
    Verdict& verdict = verdicts[i];
    for (const MarginPlan& margin : plan.margins) {
      const Engine::Judged worst = worst_end.judged(margin.judgement, ~certain);
      const Engine::Judged best = best_end.judged(margin.judgement, certain);
      const Outcome outcome =
          scans() == 0 ? Outcome::undecided : outcome_of(worst.value.key, best.value.key);
      if (&margin == &plan.margins.front()) verdict.outcome = outcome;
      // The guaranteed side: what holds by at least this, or fails by at least this.
      const Engine::Judged& sure = outcome == Outcome::violated ? best : worst;
      Margin result;
      result.value = distance_of(sure.value.key);
      result.unit = margin.kind.unit.symbol;
      result.scan = sure.anchor;
      result.origin_scan = sure.value.scan;
      result.bound = sure.bound || worst.value.key != best.value.key;
      for (const auto& [node, span] : plan.places) {
        if (node == sure.value.origin) result.origin = span;
      }
      verdict.margins.push_back(std::move(result));
    }
    bool happened = plan.occasions.empty();
    for (const NodeId node : plan.occasions) happened = happened || state_->engine.happened(node);
    verdict.vacuous = verdict.outcome == Outcome::holds && !happened;
  }
  return verdicts;
}

std::string describe(const Property& property, const Verdict& verdict) {
  const auto at = [&](std::uint64_t scan) {
    const auto period = static_cast<std::uint64_t>(property.scan_period().count());
    return fmt::format("{}.{:03} s", scan * period / 1'000'000'000,
                       scan * period / 1'000'000 % 1000);
  };
  std::string line = verdict.outcome == Outcome::holds      ? "holds"
                     : verdict.outcome == Outcome::violated ? "violated"
                                                            : "undecided at the end of the run";
  if (verdict.vacuous) return line + " (what it speaks of never happened)";
  if (verdict.outcome == Outcome::undecided) return line;
  for (const Margin& margin : verdict.margins) {
    const bool finite = margin.value - margin.value == 0.0;
    if (!finite && verdict.outcome == Outcome::holds) continue;
    const char* qualifier = !margin.bound                          ? ""
                            : verdict.outcome == Outcome::violated ? "at most "
                                                                   : "at least ";
    const std::string unit = margin.unit == "1" ? "" : " " + margin.unit;
    line += finite ? fmt::format("; margin {}{:.6g}{}", qualifier, margin.value, unit)
                   : fmt::format("; no change in {} alone would have met it", margin.unit);
    line += fmt::format(" at {}", at(margin.scan));
    if (margin.origin.end > margin.origin.begin) {
      const Position place = position_of(property.text(), margin.origin.begin);
      line += fmt::format(
          " by `{}` ({}:{})",
          property.text().substr(margin.origin.begin, margin.origin.end - margin.origin.begin),
          place.line, place.column);
    }
  }
  return line;
}

}  // namespace ovenproof::properties
