#include "sim/scenario/play.hpp"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

#include "sim/rig/probes.hpp"
#include "sim/scenario/act.hpp"

namespace ovenproof::scenario {
namespace {

using mock::VirtualMs;
using properties::Outcome;
using properties::Property;

constexpr std::size_t told_events = 12;

void add_signals(const Property& property, std::vector<std::size_t>& signals) {
  const std::vector<std::size_t> used = property.signals();
  signals.insert(signals.end(), used.begin(), used.end());
}

std::vector<std::size_t> signals_of(const Case& one) {
  std::vector<std::size_t> signals;
  for (const Expectation& each : one.expectations) add_signals(each.property, signals);
  for (const Step& step : one.steps) {
    if (step.trigger.never) add_signals(*step.trigger.never, signals);
  }
  if (one.until.never) add_signals(*one.until.never, signals);
  return signals;
}

std::vector<Property> properties_of(const Case& one) {
  std::vector<Property> all;
  for (const Expectation& each : one.expectations) all.push_back(each.property);
  return all;
}

/// Watches for one condition, given as "never (condition)".
class Await {
 public:
  explicit Await(const Property& never) : monitor_(never) {}
  /// True in the scan in which the condition comes.
  bool step(std::span<const double> row) { return monitor_.step(row); }

 private:
  properties::Monitor monitor_;
};

class Player {
 public:
  Player(const Case& one, const Observed& from, bool stop_when_failed, const Observer& observer)
      : case_(one),
        observer_(observer),
        stop_when_failed_(stop_when_failed),
        now_(from),
        actor_(*one.oven),
        reader_(signals_of(one)),
        row_(rig::probes().size()),
        began_ms_(now_.rig.now_ms()),
        step_before_ms_(began_ms_),
        failed_ms_(one.expectations.size()) {
    now_.coverage.begin();
    if (!one.expectations.empty()) {
      monitors_.emplace(std::span<const Property>(properties_ = properties_of(one)));
    }
  }

  CaseResult play() {
    look();
    arm();
    while (true) {
      actor_.undo_due(now_.rig);
      while (step_due()) take_step();
      if (over()) break;
      now_.rig.step();
      const bool hazard = now_.observe();
      now_.timeline.observe(now_.rig);
      const bool violated = look();
      if (stop_when_failed_ && (violated || (hazard && unwaived_hazard()))) break;
    }
    return result();
  }

 private:
  [[nodiscard]] VirtualMs now_ms() const { return now_.rig.now_ms(); }

  /// Shows this scan to all that watch. True if an expectation has just been violated.
  bool look() {
    if (observer_) observer_(now_.rig);
    reader_.read(now_.rig, row_);
    bool fresh = false;
    if (monitors_ && monitors_->step(row_)) {
      for (std::size_t i = 0; i < failed_ms_.size(); ++i) {
        if (failed_ms_[i] || monitors_->standing(i) != Outcome::violated) continue;
        failed_ms_[i] = now_ms();
        fresh = true;
      }
    }
    if (await_ && !came_ms_ && await_->step(row_)) came_ms_ = now_ms();
    return fresh;
  }

  /// Begins to wait for the next step, or for the end.
  void arm() {
    came_ms_.reset();
    await_.reset();
    const std::optional<Property>& never =
        next_ < case_.steps.size() ? case_.steps[next_].trigger.never : case_.until.never;
    if (!never) return;
    await_.emplace(*never);
    if (await_->step(row_)) came_ms_ = now_ms();
  }

  [[nodiscard]] logic::Phase phase() const {
    return now_.rig.controller_runs() ? now_.rig.controller().commands().phase
                                      : logic::Phase::tripped;
  }

  bool step_due() {
    if (next_ >= case_.steps.size() || broken_off_) return false;
    const Trigger& trigger = case_.steps[next_].trigger;
    switch (trigger.kind) {
      case Trigger::Kind::at:
        return now_ms() - began_ms_ >= trigger.delay_ms;
      case Trigger::Kind::after:
        return now_ms() - step_before_ms_ >= trigger.delay_ms;
      case Trigger::Kind::on:
        if (!came_ms_ && now_.rig.controller_runs() && phase() == trigger.phase) {
          came_ms_ = now_ms();
        }
        [[fallthrough]];
      case Trigger::Kind::when:
        break;
    }
    if (came_ms_) return now_ms() - *came_ms_ >= trigger.delay_ms;
    if (now_ms() - step_before_ms_ < trigger.timeout_ms) return false;
    problem(fmt::format("step {} was never due: {} did not come within {} s", next_ + 1,
                        trigger.kind == Trigger::Kind::on
                            ? fmt::format("the phase {}", logic::name_of(trigger.phase))
                            : fmt::format("`{}`", trigger.condition),
                        static_cast<double>(trigger.timeout_ms) / 1000.0));
    return false;
  }

  void take_step() {
    const Step& step = case_.steps[next_];
    if (step.trigger.kind == Trigger::Kind::at &&
        now_ms() - began_ms_ >= step.trigger.delay_ms + case_.oven->period_ms) {
      problem(fmt::format("step {} was due at {} s into the case, before the step above was done",
                          next_ + 1, static_cast<double>(step.trigger.delay_ms) / 1000.0));
      return;
    }
    if (!step.note.empty()) tell(step.note);
    for (const Action& action : step.actions) {
      tell(action.text);
      if (const auto refused = actor_.perform(action, now_.rig)) {
        problem(fmt::format("step {}, {}: {}", next_ + 1, action.text, *refused));
      }
    }
    step_before_ms_ = now_ms();
    ++next_;
    arm();
  }

  bool over() {
    if (broken_off_) return true;
    if (next_ < case_.steps.size()) return false;
    if (!case_.until.never) {
      return now_ms() - step_before_ms_ >= case_.until.after_last_step_ms;
    }
    if (came_ms_) return true;
    if (now_ms() - step_before_ms_ < case_.until.timeout_ms) return false;
    problem(fmt::format("the case was to end when `{}`, which did not come within {} s",
                        case_.until.condition,
                        static_cast<double>(case_.until.timeout_ms) / 1000.0));
    return true;
  }

  void tell(const std::string& text) {
    now_.timeline.add(now_ms(), cycle::EventKind::person, text);
  }

  void problem(std::string text) {
    problems_.push_back(std::move(text));
    broken_off_ = true;
  }

  [[nodiscard]] const std::string& waived(std::size_t hazard) const {
    static const std::string not_waived;
    for (const Waiver& each : case_.waivers) {
      if (each.hazard == hazard) return each.reason;
    }
    return not_waived;
  }

  [[nodiscard]] bool unwaived_hazard() const {
    const auto verdicts = now_.hazards.verdicts();
    for (std::size_t i = 0; i < verdicts.size(); ++i) {
      if (!verdicts[i].avoided && waived(i).empty()) return true;
    }
    return false;
  }

  ExpectationVerdict judged(std::size_t i, const properties::Verdict& verdict) const {
    const Expectation& expectation = case_.expectations[i];
    ExpectationVerdict out;
    out.name = expectation.name;
    out.property = expectation.property.text();
    out.verdict = verdict;
    out.happened = properties::describe(expectation.property, verdict);
    out.met = verdict.outcome == Outcome::holds &&
              (!verdict.vacuous || !expectation.may_be_vacuous.empty());
    if (!out.met) out.when_ms = failed_ms_[i].value_or(now_ms());
    return out;
  }

  CaseResult result() {
    CaseResult out;
    out.began_ms = began_ms_;
    out.ended_ms = now_ms();
    out.problems = problems_;
    if (!problems_.empty()) out.failed_ms = now_ms();
    const auto went_wrong = [&](std::uint64_t ms) {
      out.failed_ms = std::min(out.failed_ms.value_or(ms), ms);
    };
    if (monitors_) {
      const std::vector<properties::Verdict> verdicts = monitors_->finish();
      for (std::size_t i = 0; i < verdicts.size(); ++i) {
        out.expectations.push_back(judged(i, verdicts[i]));
        if (out.expectations.back().when_ms) went_wrong(*out.expectations.back().when_ms);
      }
    }
    for (const hazards::HazardVerdict& each : now_.hazards.verdicts()) {
      out.hazards.push_back({each, waived(out.hazards.size())});
      if (!out.hazards.back().fine()) went_wrong(each.first_ms.value_or(now_ms()));
    }
    if (out.failed_ms) out.events = last_events(*out.failed_ms);
    out.coverage = now_.coverage;
    return out;
  }

  [[nodiscard]] std::vector<cycle::Event> last_events(std::uint64_t up_to_ms) const {
    const std::vector<cycle::Event>& all = now_.timeline.events();
    const auto end = std::find_if(all.begin(), all.end(),
                                  [&](const cycle::Event& each) { return each.ms > up_to_ms; });
    const auto count = std::min<std::ptrdiff_t>(end - all.begin(), told_events);
    return {end - count, end};
  }

  const Case& case_;
  const Observer& observer_;
  bool stop_when_failed_;
  Observed now_;
  Actor actor_;
  rig::ProbeReader reader_;
  std::vector<double> row_;
  std::vector<Property> properties_;
  std::optional<properties::MonitorSet> monitors_;
  std::optional<Await> await_;
  std::optional<VirtualMs> came_ms_;  ///< when what is waited for came
  VirtualMs began_ms_;
  VirtualMs step_before_ms_;
  std::size_t next_ = 0;
  bool broken_off_ = false;
  std::vector<std::string> problems_;
  std::vector<std::optional<VirtualMs>> failed_ms_;
};

}  // namespace

bool CaseResult::passed() const {
  return problems.empty() &&
         std::all_of(expectations.begin(), expectations.end(),
                     [](const ExpectationVerdict& each) { return each.met; }) &&
         std::all_of(hazards.begin(), hazards.end(),
                     [](const JudgedHazard& each) { return each.fine(); });
}

CaseResult play(const Case& one, const Checkpoint& from, bool stop_when_failed,
                const Observer& observer) {
  if (const auto* start = std::get_if<std::shared_ptr<const Observed>>(&from)) {
    return Player(one, **start, stop_when_failed, observer).play();
  }
  CaseResult result;
  result.problems.push_back(std::get<std::string>(from));
  return result;
}

}  // namespace ovenproof::scenario
