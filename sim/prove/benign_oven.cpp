#include "sim/prove/benign_oven.hpp"

#include <algorithm>

#include "sim/prove/healthy_facts.hpp"

namespace ovenproof::prove {

using namespace logic;

namespace {

constexpr OutputSet heat{Output::k1, Output::k2, Output::heater_drive};
constexpr FactSet buttons = bit(Fact::reset_pressed) | bit(Fact::stop_pressed);
constexpr unsigned both_levels = 3;

}  // namespace

void BenignOven::Follower::follow(bool output, std::uint64_t now, std::uint32_t after) {
  if (output != wanted) {
    wanted = output;
    due = now + after;
  }
  if (is != wanted && now >= due) is = wanted;
}

BenignOven::BenignOven(const Options& options, const Durations& durations, const LogicState& state,
                       Aim aim)
    : durations_(durations), aim_(aim), logic_(options) {
  logic_.resume(state);
  const OutputSet on = state.memory.energised;
  const auto settled = [](Follower& follower, bool value) { follower = {value, value, 0}; };
  settled(k1_, on.has(Output::k1));
  settled(k2_, on.has(Output::k2));
  settled(purge_flow_, on.has(Output::purge_valve));
  settled(process_flow_, on.has(Output::process_valve));
  settled(fan_, on.has(Output::fan));
  settled(blower_, on.has(Output::blower));
  damper_opens_ = on.has(Output::damper);
  damper_from_ = damper_opens_ ? durations_.damper : 0;
  // Inert where the logic has seen it so; a chamber that is being purged is still full of air.
  const Phase phase = state.places.phase;
  inert_ = heating.has(phase) || phase == Phase::cooling || state.memory.blanket;
  timer_since_.fill(never);
}

void BenignOven::set(Fact fact, bool value) {
  facts_ = value ? facts_ | bit(fact) : facts_ & ~bit(fact);
}

/// Buttons are pressed and let go for half a second each, for as long as they are of use.
bool BenignOven::button() const { return now_ / button_half_period % 2 == 1; }

void BenignOven::tell() {
  const Phase phase = logic_.sequence().phase();
  facts_ = healthy_facts;
  set(Fact::reset_pressed, phase == Phase::tripped && button());
  set(Fact::stop_pressed,
      aim_ == Aim::standby && phase != Phase::tripped && phase != Phase::standby && button());
  set(Fact::k1_open, !k1_.is);
  set(Fact::k2_open, !k2_.is);
  set(Fact::purge_flow, purge_flow_.is);
  set(Fact::process_flow, process_flow_.is);
  set(Fact::fan_running, fan_.is);
  set(Fact::blower_running, blower_.is);
  const std::uint64_t travelled = std::min<std::uint64_t>(now_ - damper_since_, durations_.damper);
  const std::uint64_t position =
      damper_opens_ ? std::min<std::uint64_t>(damper_from_ + travelled, durations_.damper)
                    : damper_from_ - std::min<std::uint64_t>(travelled, damper_from_);
  set(Fact::damper_open, position == durations_.damper);
  set(Fact::damper_closed, position == 0);

  const auto lasted = [this](std::uint64_t since, std::uint32_t ms) {
    return since != never && now_ - since >= ms;
  };
  if (lasted(purged_since_, durations_.oxygen_fall)) inert_ = true;
  set(Fact::oxygen_at_gate, inert_);
  set(Fact::oxygen_above_hold, !inert_);
  set(Fact::purge_volumes_reached, lasted(counted_since_, durations_.purge));
  const std::uint64_t staged = stage_done_ + (stage_since_ == never ? 0 : now_ - stage_since_);
  set(Fact::ramp_complete, stage_ == Phase::ramp && staged >= durations_.ramp);
  set(Fact::soak_complete, stage_ == Phase::soak && staged >= durations_.soak);
  set(Fact::last_segment, segment_ + 1 >= durations_.segments);
  set(Fact::elements_cool, lasted(cold_from_, durations_.elements_cool));
  set(Fact::cool_to_unload, lasted(cold_from_, durations_.cool_down));
  set(Fact::gas_settled, lasted(cold_from_, durations_.cool_down));
  for (std::size_t i = 0; i < timer_count; ++i) {
    set(fact_of(static_cast<Timer>(i)), lasted(timer_since_[i], durations_.timers[i]));
  }
}

/// The oven takes up what was commanded.
void BenignOven::follow() {
  const OutputSet on = commands_.outputs;
  const bool heated = on.covers(heat);
  k1_.follow(on.has(Output::k1), now_, durations_.contactor);
  k2_.follow(on.has(Output::k2), now_, durations_.contactor);
  purge_flow_.follow(on.has(Output::purge_valve), now_, durations_.flow);
  process_flow_.follow(on.has(Output::process_valve), now_, durations_.flow);
  fan_.follow(on.has(Output::fan), now_, durations_.fan);
  blower_.follow(on.has(Output::blower), now_, durations_.blower);
  if (on.has(Output::damper) != damper_opens_) {
    const std::uint64_t travelled =
        std::min<std::uint64_t>(now_ - damper_since_, durations_.damper);
    const std::uint64_t position =
        damper_opens_ ? std::min<std::uint64_t>(damper_from_ + travelled, durations_.damper)
                      : damper_from_ - std::min<std::uint64_t>(travelled, damper_from_);
    damper_from_ = static_cast<std::uint32_t>(position);
    damper_since_ = now_;
    damper_opens_ = on.has(Output::damper);
  }
  const auto keep = [this](std::uint64_t& since, bool goes_on) {
    if (!goes_on) {
      since = never;
    } else if (since == never) {
      since = now_;
    }
  };
  keep(purged_since_, purge_flow_.is);
  keep(counted_since_, commands_.count_purge && purge_flow_.is);
  if (heated) cold_from_ = now_;
  if (commands_.phase != stage_) {
    stage_ = commands_.phase;
    stage_done_ = 0;
    stage_since_ = never;
  }
  if (!heated && stage_since_ != never) {
    stage_done_ += static_cast<std::uint32_t>(now_ - stage_since_);
  }
  keep(stage_since_, heated);
  if (commands_.programme_restart) segment_ = 0;
  if (commands_.programme_advance) {
    ++segment_;
    stage_done_ = 0;
    stage_since_ = never;
  }
  for (std::size_t i = 0; i < timer_count; ++i) {
    keep(timer_since_[i], (commands_.timers >> i & 1U) != 0);
  }
}

std::uint64_t BenignOven::next_event() const {
  std::uint64_t next = never;
  const auto at = [&](std::uint64_t instant) {
    if (instant > now_) next = std::min(next, instant);
  };
  const auto after = [&](std::uint64_t since, std::uint64_t ms) {
    if (since != never) at(since + ms);
  };
  for (const Follower* follower : {&k1_, &k2_, &purge_flow_, &process_flow_, &fan_, &blower_}) {
    if (follower->is != follower->wanted) at(follower->due);
  }
  after(damper_since_, damper_opens_ ? durations_.damper - damper_from_ : damper_from_);
  after(purged_since_, durations_.oxygen_fall);
  after(counted_since_, durations_.purge);
  const std::uint32_t stage = stage_ == Phase::ramp ? durations_.ramp : durations_.soak;
  if (stage_since_ != never && stage > stage_done_) after(stage_since_, stage - stage_done_);
  if (!commands_.outputs.covers(heat)) {
    after(cold_from_, durations_.elements_cool);
    after(cold_from_, durations_.cool_down);
  }
  for (std::size_t i = 0; i < timer_count; ++i) after(timer_since_[i], durations_.timers[i]);
  const Phase phase = logic_.sequence().phase();
  const bool pressing =
      phase == Phase::tripped || (aim_ == Aim::standby && phase != Phase::standby);
  // Pressing what does nothing, neither by going down nor by coming up, can be left out.
  if (pressing && idle_levels_ != both_levels)
    at((now_ / button_half_period + 1) * button_half_period);
  return next;
}

bool BenignOven::step() {
  const LogicState before = logic_.state();
  const FactSet told = facts_;
  const TimerSet timers = commands_.timers;
  tell();
  commands_ = logic_.scan({this, [](const void* self, Fact fact) {
                             return (static_cast<const BenignOven*>(self)->facts_ & bit(fact)) != 0;
                           }});
  ++scans_;
  follow();
  const bool same_state = scans_ > 1 && before == logic_.state();
  if (same_state && ((told ^ facts_) & ~buttons) == 0 && timers == commands_.timers) {
    idle_levels_ |= (facts_ & buttons) != 0 ? 2U : 1U;
  } else {
    idle_levels_ = 0;
  }
  const bool quiet = same_state && told == facts_;
  if (!quiet) {
    now_ += durations_.scan;
    return true;
  }
  const std::uint64_t next = next_event();
  if (next == never) return false;
  now_ = next;
  return true;
}

bool BenignOven::at_rest() const {
  return commands_.phase == Phase::standby && commands_.outputs.empty();
}

}  // namespace ovenproof::prove
