#include "sim/scenario/coverage.hpp"

#include <algorithm>

#include "firmware/logic/matrix.hpp"

namespace ovenproof::scenario {
namespace {

mock::VirtualMs longest_debounce_ms(const controller::Controller& controller) {
  Milliseconds longest{0};
  for (const conditioning::DebounceLimits& limits : controller.configuration().contacts) {
    longest = std::max(longest, limits.on_time);
  }
  return longest.value;
}

}  // namespace

void Coverage::begin() {
  phases_.reset();
  transitions_.reset();
  causes_.reset();
  cells_ = {};
  all_counted_ = false;
}

void Coverage::observe_causes(const controller::Controller& controller, bool settled) {
  const logic::Commands& commands = controller.commands();
  const logic::OutputSet gone = outputs_ - commands.outputs;
  if (commands.first_out != first_out_ && commands.first_out != logic::Cause::none) {
    causes_[index(commands.first_out)] = true;
    logic::OutputSet& cells = cells_[index(commands.first_out)];
    cells = cells | (gone & logic::row_of(commands.first_out).withholds);
  }
  all_counted_ = settled;
  if (!settled) return;
  // While tripped it is the latch that keeps outputs off, whatever inhibits are there besides.
  const logic::OutputSet off = commands.first_out == logic::Cause::none
                                   ? controller.logic().memory().withheld
                                   : logic::OutputSet{};
  const std::uint64_t present = controller.present_causes();
  for (std::size_t i = 0; i < logic::cause_count; ++i) {
    if ((present >> i & 1U) == 0) continue;
    if (logic::matrix[i].delay == logic::Timer::count) causes_[i] = true;
    if (i < logic::first_inhibit) continue;
    cells_[i] = cells_[i] | (off & logic::matrix[i].withholds);
  }
}

void Coverage::observe(const rig::Rig& rig) {
  if (!rig.controller_runs()) {
    // What power took away was taken by no cause.
    ran_ = false;
    outputs_ = {};
    return;
  }
  const controller::Controller& controller = rig.controller();
  const logic::Commands& commands = controller.commands();
  const std::uint64_t facts = controller.facts().bits();
  const logic::OutputSet withheld = controller.logic().memory().withheld;
  if (!ran_) settled_ms_ = rig.now_ms() + longest_debounce_ms(controller);
  const bool settled = rig.now_ms() > settled_ms_;
  phases_[index(commands.phase)] = true;
  if (ran_ && commands.phase != phase_) {
    transitions_[index(phase_) * logic::phase_count + index(commands.phase)] = true;
  }
  // Causes come and go with facts, with the outputs, and with the phase: nothing else is looked at.
  if (!ran_ || (settled && !all_counted_) || facts != facts_ || commands.phase != phase_ ||
      commands.outputs != outputs_ || commands.first_out != first_out_ || withheld != withheld_) {
    observe_causes(controller, settled);
  }
  ran_ = true;
  phase_ = commands.phase;
  first_out_ = commands.first_out;
  facts_ = facts;
  outputs_ = commands.outputs;
  withheld_ = withheld;
}

void Coverage::merge(const Coverage& other) {
  phases_ |= other.phases_;
  transitions_ |= other.transitions_;
  causes_ |= other.causes_;
  for (std::size_t i = 0; i < cells_.size(); ++i) cells_[i] = cells_[i] | other.cells_[i];
}

}  // namespace ovenproof::scenario
