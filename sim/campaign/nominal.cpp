#include "sim/campaign/nominal.hpp"

#include <algorithm>
#include <stdexcept>
#include <utility>

#include <fmt/format.h>

namespace ovenproof::campaign {
namespace {

constexpr mock::VirtualMs checkpoint_every_ms = 300'000;

cycle::Plan plan(const settings::Settings& settings) {
  cycle::Plan plan;
  plan.cycles = cycles_injected + 2;  // so that a branch of the last cycle has a next start, too
  plan.restarts = 1;
  plan.stand_back_s = 120;
  plan.reset_patience_s = 30;
  // Whoever waits for the monitor waits as long as it may take to warm up.
  plan.ready_patience_s = settings.oxygen.warm_up_maximum.value / 1000;
  return plan;
}

}  // namespace

Moment::Moment(const scenario::OvenContext& oven)
    : rig(oven.oven), attendant(plan(oven.machine.settings)), watch(oven.hazards) {}

std::vector<std::size_t> Moment::step() {
  attendant.act(rig);
  rig.step();
  ++scan;
  return watch.observe(rig);
}

logic::Phase phase_of(const rig::Rig& rig) {
  return rig.controller_runs() ? rig.controller().commands().phase : logic::Phase::tripped;
}

Nominal::Nominal(std::shared_ptr<const scenario::OvenContext> oven) : oven_(std::move(oven)) {
  Moment now(*oven_);
  CrossingWatch marks(*oven_);
  const std::uint64_t checkpoint_every = checkpoint_every_ms / now.rig.period_ms();
  while (stretches_.empty() || stretches_.back().cycle <= cycles_injected + 1) {
    if (now.scan % checkpoint_every == 0) kept_[now.scan] = std::make_shared<const Moment>(now);
    now.attendant.act(now.rig);
    ConditionWatch conditions(now.rig);
    now.rig.step();
    const Conditions came = conditions.after(now.rig);
    if (changes_.empty() || changes_.back().now != came) changes_.push_back({now.scan, came});
    ++now.scan;
    for (const std::size_t hazard : now.watch.observe(now.rig)) {
      throw std::runtime_error(fmt::format("without any failure, a hazard occurs after {} s: {}",
                                           now.rig.now_ms() / 1000,
                                           hazards::default_hazards()[hazard].title));
    }
    if (now.attendant.done()) {
      throw std::runtime_error(
          fmt::format("without any failure, the oven does not come through {} cycles: {}",
                      cycles_injected + 1, now.attendant.gave_up()));
    }
    watch_phase(phase_of(now.rig), now.scan);
    marks.observe(now.rig.truth(), stretches_.back().cycle, now.scan);
  }
  crossings_ = marks.crossings();
  scans_ = now.scan;
  stretches_.back().end = scans_;
  mock::VirtualMs began = 0;
  for (std::size_t i = 1; i < stretches_.size(); ++i) {
    if (stretches_[i].cycle == stretches_[i - 1].cycle) continue;
    const mock::VirtualMs entered = stretches_[i].first * now.rig.period_ms();
    longest_cycle_ms_ = std::max(longest_cycle_ms_, entered - began);
    began = entered;
  }
}

void Nominal::watch_phase(logic::Phase phase, std::uint64_t scan) {
  if (!stretches_.empty() && stretches_.back().phase == phase) return;
  Stretch next{phase, stretches_.empty() ? 0 : stretches_.back().cycle, scan, scan};
  // A cycle begins with the loading for it.
  if (phase == logic::Phase::standby) ++next.cycle;
  if (!stretches_.empty()) stretches_.back().end = scan;
  stretches_.push_back(next);
}

std::uint64_t Nominal::first_with(Conditions any, std::uint64_t from) const {
  if (any == 0) return scans_;
  auto change =
      std::upper_bound(changes_.begin(), changes_.end(), from,
                       [](std::uint64_t scan, const Change& each) { return scan < each.scan; });
  if (change != changes_.begin()) --change;
  for (; change != changes_.end(); ++change) {
    if ((change->now & any) != 0) return std::max(from, change->scan);
  }
  return scans_;
}

std::shared_ptr<const Moment> Nominal::at(std::uint64_t scan) const {
  std::shared_ptr<const Moment> from;
  {
    const std::lock_guard lock(mutex_);
    from = std::prev(kept_.upper_bound(scan))->second;
  }
  if (from->scan == scan) return from;
  auto now = std::make_shared<Moment>(*from);
  while (now->scan < scan) now->step();
  const std::lock_guard lock(mutex_);
  return kept_.emplace(scan, std::move(now)).first->second;
}

}  // namespace ovenproof::campaign
