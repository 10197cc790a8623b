#include "sim/campaign/branch.hpp"

#include <algorithm>
#include <array>
#include <optional>

#include "sim/campaign/hazard_measure.hpp"
#include "sim/campaign/rest.hpp"
#include "sim/hazards/hazards.hpp"
#include "sim/rig/field_wiring.hpp"
#include "sim/scenario/act.hpp"

namespace ovenproof::campaign {
namespace {

constexpr mock::VirtualMs time_limit_extra_ms = 4 * 3'600'000;
/// A hazard that is still there when all else is decided is watched that much longer.
constexpr mock::VirtualMs hazard_watch_ms = 600'000;
/// Nobody waits longer for an oven without power.
constexpr mock::VirtualMs dark_patience_ms = 600'000;

bool passes(const Realisation& realisation) {
  return std::all_of(realisation.actions.begin(), realisation.actions.end(),
                     [](const scenario::Action& action) {
                       if (action.undo) return true;
                       if (const auto* s = std::get_if<scenario::BreakSignal>(&action.act)) {
                         return s->fault.end_ms != mock::no_end;
                       }
                       if (const auto* c = std::get_if<scenario::BreakComponent>(&action.act)) {
                         return c->fault.end_ms != mock::no_end;
                       }
                       if (const auto* c = std::get_if<scenario::BreakClock>(&action.act)) {
                         return c->fault.end_ms != mock::no_end ||
                                std::holds_alternative<mock::ClockJump>(c->fault.effect);
                       }
                       return std::holds_alternative<scenario::Stall>(action.act);
                     });
}

/// Follows one branch from the beginning of the judged failure on.
class Judge {
 public:
  Judge(const Nominal& nominal, const Mode& mode, const HazardSet& not_judged, const rig::Rig& rig)
      : nominal_(nominal),
        mode_(mode),
        not_judged_(not_judged),
        began_ms_(rig.now_ms()),
        phase_(phase_of(rig)),
        rest_(nominal.oven()) {}

  /// After each scan. True when the outcome is decided.
  bool observe(const Moment& now, std::span<const std::size_t> fresh_hazards, Conditions came) {
    result_.touched |= came;
    ++result_.scans;
    const rig::Rig& rig = now.rig;
    for (const std::size_t hazard : fresh_hazards) note_hazard(hazard, rig);
    const bool hazard_lasts = !hits_.empty() && measure_hazards(rig);
    if (rig.controller_runs()) notice(rig.controller().commands(), rig);
    if (!decided_) decide(now);
    if (!decided_) return false;
    return !hazard_lasts || rig.now_ms() - decided_ms_ >= hazard_watch_ms;
  }

  Result result(const Moment& now, bool passed) {
    Result out = result_;
    out.hazards = hits_;
    std::sort(out.hazards.begin(), out.hazards.end(),
              [](const HazardHit& a, const HazardHit& b) { return a.hazard < b.hazard; });
    out.detection = detection_;
    out.decided = *decided_;
    out.decided_after_ms = now.rig.now_ms() - began_ms_;
    out.outcome = !hits_.empty()                     ? Outcome::hazardous
                  : detection_                       ? Outcome::noticed
                  : *decided_ != Decided::next_start ? Outcome::outage
                  : passed                           ? Outcome::no_effect
                                                     : Outcome::unnoticed;
    return out;
  }

 private:
  void note_hazard(std::size_t hazard, const rig::Rig& rig) {
    if (not_judged_.contains(hazard)) return;
    HazardHit hit;
    hit.hazard = static_cast<std::uint8_t>(hazard);
    hit.first_ms = rig.now_ms() - began_ms_;
    hits_.push_back(hit);
  }

  /// Whether one of the hazards is present.
  bool measure_hazards(const rig::Rig& rig) {
    bool any = false;
    const plant::Truth truth = rig.truth();
    const Look look{truth, rig.board().field_outputs(), rig.hands, nominal_.oven().oven.plant};
    for (HazardHit& hit : hits_) {
      const Excess now = excess(hit.hazard, look);
      hit.unit = now.unit;
      hit.beyond = std::max(hit.beyond, now.beyond);
      if (!now.present) continue;
      hit.lasted_ms += rig.period_ms();
      any = true;
    }
    return any;
  }

  void notice(const logic::Commands& commands, const rig::Rig& rig) {
    using logic::Phase;
    const bool purges_again =
        commands.phase == Phase::repurging || commands.phase == Phase::flushing;
    const bool trips = commands.first_out != logic::Cause::none;
    if ((trips || purges_again) && !detection_) {
      detection_.emplace();
      detection_->reaction_ms = rig.now_ms() - began_ms_;
      // Air that comes in is what purging again says.
      detection_->first_out_right = true;
    }
    if (trips && !detection_->trip) {
      const std::vector<logic::Cause>& right = mode_.right_first_outs;
      detection_->trip = true;
      detection_->first_out = commands.first_out;
      detection_->first_out_right =
          right.empty() || std::find(right.begin(), right.end(), commands.first_out) != right.end();
    }
  }

  void decide(const Moment& now) {
    const rig::Rig& rig = now.rig;
    const logic::Phase phase = phase_of(rig);
    if (phase != phase_) {
      if (phase == logic::Phase::purging) {
        started_ = true;
        heat_ms_ = 0;
      }
      phase_ = phase;
    }
    if (started_ && logic::heating.has(phase)) heat_ms_ += rig.period_ms();
    dark_ms_ = rig.controller_runs() ? 0 : dark_ms_ + rig.period_ms();

    const bool alone = now.attendant.done() || dark_ms_ >= dark_patience_ms;
    if (heat_ms_ >= heat_after_start_ms) {
      decide(Decided::next_start, rig);
    } else if (alone && rest_.observe(rig, load_met_oxygen())) {
      decide(Decided::came_to_rest, rig);
    } else if (rig.now_ms() - began_ms_ >=
               nominal_.longest_cycle_ms() * 3 / 2 + time_limit_extra_ms) {
      decide(Decided::time_limit, rig);
    }
  }

  [[nodiscard]] bool load_met_oxygen() const {
    return std::any_of(hits_.begin(), hits_.end(), [](const HazardHit& hit) {
      return hazards::default_hazards()[hit.hazard].id == "load_hot_in_oxygen";
    });
  }

  void decide(Decided decided, const rig::Rig& rig) {
    decided_ = decided;
    decided_ms_ = rig.now_ms();
  }

  const Nominal& nominal_;
  const Mode& mode_;
  const HazardSet& not_judged_;
  mock::VirtualMs began_ms_;
  logic::Phase phase_;
  Rest rest_;
  Result result_;
  std::vector<HazardHit> hits_;
  std::optional<Detection> detection_;
  std::optional<Decided> decided_;
  mock::VirtualMs decided_ms_ = 0;
  bool started_ = false;
  mock::VirtualMs heat_ms_ = 0;
  mock::VirtualMs dark_ms_ = 0;
};

}  // namespace

std::uint64_t meets(const Realisation& realisation, std::uint64_t onset, const Nominal& nominal) {
  const Conditions any = woken_by(realisation);
  if ((any & every_scan) != 0) return onset;
  return nominal.first_with(any, onset);
}

void Course::act(std::span<const Failure> begin, const BranchObserver& observer) {
  actor_.undo_due(now_.rig);
  for (const Failure& each : begin) {
    for (const scenario::Action& action : each.realisation->actions) {
      actor_.perform(action, now_.rig);
    }
    if (each.attendant != cycle::Habit::usual) now_.attendant.take_on(each.attendant);
  }
  const rig::Hands hands = now_.rig.hands;
  const bool loading = now_.attendant.loading();
  const bool powered = now_.rig.controller_runs();
  now_.attendant.act(now_.rig);
  if (!observer) return;
  observer({now_.rig, hands, !loading && now_.attendant.loading(),
            powered != now_.rig.controller_runs(), begin});
}

namespace {

/// Of failures in rising order, those that begin at that scan.
std::span<const Failure> due(std::span<const Failure> failures, std::uint64_t scan) {
  std::size_t first = 0;
  while (first < failures.size() && failures[first].scan < scan) ++first;
  std::size_t end = first;
  while (end < failures.size() && failures[end].scan == scan) ++end;
  return failures.subspan(first, end - first);
}

}  // namespace

void Course::go_on(std::uint64_t until, std::span<const Failure> failures,
                   const BranchObserver& observer) {
  while (now_.scan < until) {
    act(due(failures, now_.scan), observer);
    now_.rig.step();
    ++now_.scan;
    now_.watch.observe(now_.rig);
  }
}

Result run_branch(const Nominal& nominal, Course from, std::span<const Failure> failures,
                  const BranchObserver& observer, const HazardSet& not_judged) {
  const std::uint64_t begins = failures.back().scan;
  from.go_on(begins, failures, observer);
  Moment& now = from.now_;
  std::optional<Judge> judge;
  for (bool decided = false; !decided;) {
    from.act(due(failures, now.scan), observer);
    if (!judge) judge.emplace(nominal, *failures.back().mode, not_judged, now.rig);
    const ConditionWatch conditions(now.rig);
    now.rig.step();
    ++now.scan;
    decided = judge->observe(now, now.watch.observe(now.rig), conditions.after(now.rig));
  }
  const bool passed = std::all_of(failures.begin(), failures.end(),
                                  [](const Failure& each) { return passes(*each.realisation); });
  Result result = judge->result(now, passed);
  result.met_at = begins;
  return result;
}

HazardSet attendants_own(const Nominal& nominal, cycle::Habit habit, std::uint64_t scan) {
  const Mode nothing;
  const Realisation at_all;
  const Failure failure{&nothing, &at_all, scan, habit};
  HazardSet own;
  for (const HazardHit& hit :
       run_branch(nominal, Course(nominal, *nominal.at(scan)), {&failure, 1}).hazards) {
    own.insert(hit.hazard);
  }
  return own;
}

}  // namespace ovenproof::campaign
