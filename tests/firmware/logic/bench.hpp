#pragma once
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>

#include "firmware/logic/logic.hpp"

/// A logic on the bench: facts in a table, on-delay timers counted in scans and, in place of an
/// oven, a benign plant that follows the outputs within a scan or two.
namespace ovenproof::logic::test {

inline constexpr OutputSet heat{Output::k1, Output::k2, Output::heater_drive};
inline constexpr OutputSet nothing{};

/// Presets of the timers in scans. All differ from their neighbours, so a delay that uses the wrong
/// timer shows.
constexpr std::array<unsigned, timer_count> presets() {
  std::array<unsigned, timer_count> scans{};
  for (std::size_t i = 0; i < timer_count; ++i) scans[i] = 4 + static_cast<unsigned>(i % 5);
  scans[static_cast<std::size_t>(Timer::gate_hold)] = 3;
  scans[static_cast<std::size_t>(Timer::purge_timeout)] = 60;
  scans[static_cast<std::size_t>(Timer::heating_timeout)] = 90;
  scans[static_cast<std::size_t>(Timer::cooling_timeout)] = 90;
  scans[static_cast<std::size_t>(Timer::arm_expiry)] = 40;
  scans[static_cast<std::size_t>(Timer::changeover)] = 3;
  return scans;
}
constexpr unsigned preset(Timer timer) { return presets()[static_cast<std::size_t>(timer)]; }

/// What the benign oven is made of, in scans and levels instead of kelvins and litres.
struct Oven {
  bool door_closed = true;
  bool oxygen_low = false;     ///< purged, and the door not opened since
  unsigned volumes = 0;        ///< scans of proven purge flow without a break
  unsigned heat = 0;           ///< 0 cold; falls by one a scan, by two with jacket cooling
  unsigned ramped = 0;         ///< scans of heat in this ramp
  unsigned soaked = 0;         ///< scans of heat in this soak
  unsigned segment = 0;        ///< of `segments`
  unsigned damper_travel = 0;  ///< 0 closed, damper_stroke open
};
inline constexpr unsigned damper_stroke = 2;
inline constexpr unsigned volumes_needed = 5;
inline constexpr unsigned ramp_needs = 4;
inline constexpr unsigned soak_needs = 4;
inline constexpr unsigned full_heat = 12;
inline constexpr unsigned elements_cool_at = 3;

/// A name that the test framework prints as text.
template <class Named>
std::string text(Named named) {
  return name_of(named);
}

class Bench {
 public:
  explicit Bench(Options options = {}, Cause born = Cause::power_up) : logic(options, born) {}

  Logic logic;
  Commands commands;
  Oven oven;
  unsigned segments = 2;
  std::uint64_t read = 0;   ///< bit n: fact n was looked at in the latest scan
  std::uint64_t scans = 0;  ///< since power-up
  unsigned phase_for = 0;   ///< scans that ended in the present phase, without a break
  OutputSet ever;           ///< energised in any scan since clear_record()

  /// The fact is this, whatever the oven does, until released.
  void force(Fact fact, bool value) { forced_[index(fact)] = value; }
  void release(Fact fact) { forced_[index(fact)].reset(); }
  void release_all() { forced_ = {}; }

  Commands scan() {
    follow_outputs();
    tell();
    read = 0;
    const Facts facts(this, [](const void* self, Fact fact) {
      auto& bench = *const_cast<Bench*>(static_cast<const Bench*>(self));
      bench.read |= std::uint64_t{1} << index(fact);
      return bench.fact(fact);
    });
    commands = logic.scan(facts);
    for (std::size_t i = 0; i < timer_count; ++i) {
      const bool runs = (commands.timers >> i & 1U) != 0;
      run_for_[i] = runs ? run_for_[i] + 1 : 0;
    }
    phase_for = commands.phase == last_phase_ ? phase_for + 1 : 1;
    last_phase_ = commands.phase;
    ever = ever | commands.outputs;
    ++scans;
    return commands;
  }
  Commands scan(unsigned times) {
    for (unsigned i = 0; i < times; ++i) scan();
    return commands;
  }
  /// Scans until `done(commands)`; false if that does not come within `limit` scans.
  template <class Done>
  bool scan_until(Done done, unsigned limit = 200) {
    for (unsigned i = 0; i < limit; ++i) {
      if (done(scan())) return true;
    }
    return false;
  }
  bool scan_to(Phase phase) {
    return scan_until([phase](const Commands& c) { return c.phase == phase; });
  }
  bool scan_to(Phase phase, OutputSet outputs) {
    return scan_until(
        [phase, outputs](const Commands& c) { return c.phase == phase && c.outputs == outputs; });
  }

  /// One press: up for a scan, down for a scan, and up again.
  Commands press(Fact button) {
    force(button, false);
    scan();
    force(button, true);
    scan();
    const Commands pressed = commands;
    release(button);
    return pressed;
  }

  void open_door() { oven.door_closed = false; }
  void close_door() { oven.door_closed = true; }
  void clear_record() { ever = nothing; }

  /// As the logic would read it now.
  [[nodiscard]] bool fact(Fact fact) const {
    if (forced_[index(fact)]) return *forced_[index(fact)];
    return facts_[index(fact)];
  }
  [[nodiscard]] OutputSet outputs() const { return commands.outputs; }
  [[nodiscard]] Phase phase() const { return commands.phase; }

 private:
  static constexpr std::size_t index(Fact fact) { return static_cast<std::size_t>(fact); }
  void set(Fact fact, bool value) { facts_[index(fact)] = value; }

  /// The oven after a scan's time under the latest outputs.
  void follow_outputs() {
    const OutputSet on = commands.outputs;
    if (!oven.door_closed) oven.oxygen_low = false;
    oven.volumes = commands.count_purge && fact(Fact::purge_flow) ? oven.volumes + 1 : 0;
    if (oven.volumes >= 3) oven.oxygen_low = true;

    const bool heated = on.covers(heat);
    const unsigned cooling = on.has(Output::blower) ? 2 : 1;
    oven.heat = heated ? full_heat : oven.heat - (oven.heat < cooling ? oven.heat : cooling);
    if (on.has(Output::damper)) {
      oven.damper_travel =
          damper_stroke < oven.damper_travel + 1 ? damper_stroke : oven.damper_travel + 1;
    } else if (oven.damper_travel > 0) {
      --oven.damper_travel;
    }

    if (commands.programme_restart) oven.segment = 0;
    if (commands.programme_advance) ++oven.segment;
    const bool ramping = commands.phase == Phase::ramp;
    const bool soaking = commands.phase == Phase::soak;
    oven.ramped = ramping ? oven.ramped + (heated ? 1 : 0) : 0;
    oven.soaked = soaking ? oven.soaked + (heated ? 1 : 0) : 0;
  }

  void tell() {
    const OutputSet on = commands.outputs;
    set(Fact::door_closed, oven.door_closed);
    set(Fact::door_open, !oven.door_closed);
    for (Fact healthy :
         {Fact::estop_healthy, Fact::limiter_healthy, Fact::gas_supply_ok, Fact::temperature_valid,
          Fact::oxygen_valid, Fact::oxygen_has_read_air, Fact::settings_valid}) {
      set(healthy, true);
    }
    set(Fact::purge_flow, on.has(Output::purge_valve));
    set(Fact::process_flow, on.has(Output::process_valve));
    set(Fact::fan_running, on.has(Output::fan));
    set(Fact::k1_open, !on.has(Output::k1));
    set(Fact::k2_open, !on.has(Output::k2));
    set(Fact::damper_open, oven.damper_travel == damper_stroke);
    set(Fact::damper_closed, oven.damper_travel == 0);
    set(Fact::blower_running, on.has(Output::blower));
    set(Fact::oxygen_at_gate, oven.oxygen_low);
    set(Fact::oxygen_above_hold, !oven.oxygen_low);
    set(Fact::purge_volumes_reached, oven.volumes >= volumes_needed);
    set(Fact::ramp_complete, oven.ramped >= ramp_needs);
    set(Fact::soak_complete, oven.soaked >= soak_needs);
    set(Fact::last_segment, oven.segment + 1 >= segments);
    set(Fact::cool_to_unload, oven.heat == 0);
    set(Fact::gas_settled, oven.heat == 0);
    set(Fact::elements_cool, oven.heat <= elements_cool_at);
    for (std::size_t i = 0; i < timer_count; ++i) {
      set(fact_of(static_cast<Timer>(i)), run_for_[i] >= presets()[i]);
    }
  }

  Phase last_phase_ = Phase::tripped;
  std::array<bool, fact_count> facts_{};
  std::array<std::optional<bool>, fact_count> forced_{};
  std::array<unsigned, timer_count> run_for_{};
};

inline constexpr Options full_options{
    .oxygen_monitor = true, .jacket_cooling = true, .start_by_door = true, .max_repurges = 2};

/// All machines that can be ordered.
inline constexpr std::array<Options, 8> every_option{{
    {false, false, false, 2},
    {true, false, false, 2},
    {false, true, false, 2},
    {true, true, false, 2},
    {false, false, true, 2},
    {true, false, true, 2},
    {false, true, true, 2},
    {true, true, true, 2},
}};

}  // namespace ovenproof::logic::test
