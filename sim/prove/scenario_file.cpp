#include "sim/prove/scenario_file.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <optional>
#include <string_view>
#include <utility>
#include <vector>

#include "sim/prove/run_formula.hpp"

namespace ovenproof::prove {
namespace {

using namespace logic;

std::string name(Fact fact) { return name_of(fact); }

constexpr const char* let_go_of_stop = "release: stop";

/// How a fact is brought to a value, and back; without steps where nobody can.
struct Doing {
  std::vector<std::string> steps;  ///< "door: open"
  std::string remark;              ///< why there is none, or what it stands for
};

/// One whose press counts when it is let go.
Doing press(const char* which, bool pressed) {
  return pressed ? Doing{{std::string("press: ") + which}, ""} : Doing{};
}

/// What breaks, "te_a open" and so on, and clears.
Doing breaks(const std::vector<std::string>& faults, bool back) {
  Doing doing;
  for (const std::string& fault : faults) {
    doing.steps.push_back(back ? "clear: " + fault.substr(0, fault.find(' ')) : "fault: " + fault);
  }
  return doing;
}

Doing stuck(Fact contact, bool value, bool back) {
  return breaks({name(contact) + " stuck_at " + (value ? "1" : "0")}, back);
}

/// `back`: the value is the usual one, which the fact had left before.
Doing doing_for(Fact fact, bool value, bool back, const ScenarioMachine& machine) {
  const std::string oxygen = machine.transmitter ? "oxygen_loop" : "oxygen_cell";
  // Real readings are never quite still, and one that is would be called frozen.
  const std::string noise =
      machine.transmitter ? "oxygen_loop noise 0.02 mA seed 1" : "oxygen_cell noise 0.1 mV seed 1";
  switch (fact) {
    case Fact::start_pressed:
      return press("start", value);
    case Fact::stop_pressed:
      return {{value ? "hold: stop" : let_go_of_stop}, ""};
    case Fact::reset_pressed:
      return press("reset", value);
    case Fact::door_closed:
      return {{value ? "door: closed" : "door: open"}, ""};
    case Fact::door_open:
      return {{value ? "door: open" : "door: closed"}, ""};
    case Fact::door_contacts_disagree:
      return breaks({value ? "door_closed_1 stuck_at 1" : "door_closed_1 stuck_at 0"}, back);
    case Fact::estop_healthy:
      return {{value ? "estop: released" : "estop: pressed"}, ""};
    case Fact::gas_supply_ok:
      return {{value ? "supply: normal" : "supply: 0 kPa"}, ""};
    case Fact::limiter_healthy:
    case Fact::purge_flow:
    case Fact::process_flow:
    case Fact::fan_running:
    case Fact::k1_open:
    case Fact::k2_open:
    case Fact::damper_open:
    case Fact::damper_closed:
    case Fact::blower_running:
      return stuck(fact, value, back);
    case Fact::temperature_valid:
      return breaks({"te_a open"}, back);
    case Fact::thermocouples_disagree:
      return breaks({"te_a offset 1 mV"}, back);
    case Fact::temperature_rate_implausible:
      return breaks({"te_a offset 3 mV"}, back);
    case Fact::over_temperature:
      return breaks({"te_a stuck_at 40 mV"}, back);
    case Fact::no_temperature_rise:
      return breaks({"element_broken 100 %"}, back);
    case Fact::rise_without_demand:
      return breaks({"te_a drift 110 mV/h", "te_b drift 110 mV/h"}, back);
    case Fact::oxygen_valid:
    case Fact::oxygen_failed:
      return breaks({oxygen + " open"}, back);
    case Fact::oxygen_above_hold:
      return breaks({oxygen + (machine.transmitter ? " stuck_at 19 mA" : " stuck_at 1 mV")}, back);
    case Fact::oxygen_frozen:
      return breaks({oxygen + " frozen"}, back);
    case Fact::oxygen_not_falling:
      return breaks({"seal_leaking 100 %", noise}, back);
    case Fact::oxygen_falls_too_soon:
      return breaks({oxygen + (machine.transmitter ? " gain 0.6" : " gain 3")}, back);
    case Fact::clock_jump:
      return {value ? std::vector<std::string>{"clock: jump 5 s"} : std::vector<std::string>{},
              "it lasts as long as the controller holds it"};
    case Fact::scan_overrun:
      return {value ? std::vector<std::string>{"stall: 500 ms"} : std::vector<std::string>{},
              "it lasts as long as the controller holds it"};
    case Fact::settings_valid:
      return {{}, "settings are read at power-up only: no step can change them in a run"};
    default:
      // What takes so long that its time runs out: a purge through a leak, a heater too weak.
      if (fact == fact_of(Timer::purge_timeout) && value && machine.options.oxygen_monitor)
        return breaks({"seal_leaking 3 %", noise}, back);
      if (fact == fact_of(Timer::heating_timeout) && value)
        return breaks({"element_broken 80 %"}, back);
      return {{}, "only the process or time brings this about: it is waited for"};
  }
}

std::string comment(const std::string& text) { return "    # " + text + "\n"; }

/// Text in double quotes, as YAML has it.
std::string quoted(const std::string& text) {
  std::string all = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') all += '\\';
    all += c;
  }
  return all + '"';
}

/// What one scan of the script asks for.
struct Scene {
  std::vector<std::string> doings;
  std::vector<std::string> remarks;
  std::vector<std::string> waits;  ///< conditions that must have come
  std::vector<std::string> slow;   ///< those of them that the process brings
};

bool is_break(const std::string& doing) {
  return doing.starts_with("fault: ") || doing.starts_with("supply: 0");
}

/// Nobody does anything but let go of the stop button.
bool only_breaks(const Scene& scene) {
  return std::all_of(scene.doings.begin(), scene.doings.end(), [](const std::string& doing) {
    return is_break(doing) || doing == let_go_of_stop;
  });
}

Scene scene_of(const Reading& script, const Reading& before, FactSet usual,
               const ScenarioMachine& machine) {
  Scene scene;
  for (std::size_t i = 0; i < fact_count; ++i) {
    const auto fact = static_cast<Fact>(i);
    const FactSet one = FactSet{1} << i;
    const bool listed = (script.known & one) != 0;
    const bool was_listed = (before.known & one) != 0;
    if (!listed && !was_listed) continue;
    const bool value = listed ? (script.value & one) != 0 : (usual & one) != 0;
    const bool was = was_listed ? (before.value & one) != 0 : (usual & one) != 0;
    if (value != was || (listed && !was_listed)) {
      const Doing doing =
          doing_for(fact, value, value == ((usual & one) != 0) && was_listed, machine);
      for (const std::string& step : doing.steps) scene.doings.push_back(step);
      if (!doing.remark.empty() && listed) {
        scene.remarks.push_back("fact." + name(fact) + ": " + doing.remark);
      }
    }
    // A timer is over for the scan in which that matters: nobody could wait for it beside others.
    if (listed && i < plain_fact_count) {
      scene.waits.push_back((value ? "fact." : "not fact.") + name(fact));
      if (doing_for(fact, value, false, machine).steps.empty())
        scene.slow.push_back(scene.waits.back());
    }
  }
  // It must be up before the rest happens.
  std::stable_partition(scene.doings.begin(), scene.doings.end(),
                        [](const std::string& doing) { return doing == let_go_of_stop; });
  return scene;
}

std::string joined(const std::vector<std::string>& conditions) {
  std::string all;
  for (const std::string& each : conditions) all += (all.empty() ? "" : " and ") + each;
  return all;
}

/// What the process must not have brought about yet in the scan: on an oven it may have, when the
/// rest has come.
std::string not_yet(FactSet as_usual) {
  std::string waits;
  for (; as_usual != 0; as_usual &= as_usual - 1)
    waits += " and not fact." + name(static_cast<Fact>(std::countr_zero(as_usual)));
  return waits;
}

/// The longest delay that elapses from scan `from` on, but for the time limits of whole phases.
std::uint32_t delay_ahead_ms(const Script& script, std::size_t from, const Durations& durations) {
  FactSet elapsed = 0;
  for (std::size_t i = from; i < script.scans.size(); ++i) elapsed |= script.scans[i].value;
  std::uint32_t longest = 0;
  for (std::size_t i = 0; i < timer_count; ++i) {
    const auto timer = static_cast<Timer>(i);
    const bool limit = timer == Timer::purge_timeout || timer == Timer::heating_timeout ||
                       timer == Timer::cooling_timeout || timer == Timer::arm_expiry;
    if (!limit && (elapsed & bit(fact_of(timer))) != 0)
      longest = std::max(longest, durations.timers[i]);
  }
  return longest;
}

/// The steps of a scenario. What is pending has to come before the next step.
class Steps {
 public:
  /// `first`: what is done before; then `first_pending` has to come, within `timeout`.
  Steps(const std::string& first, std::string first_pending, std::string timeout)
      : pending_(std::move(first_pending)),
        timeout_(std::move(timeout)),
        text_("  - " + first + "\n") {}

  void remark(const std::string& text) { text_ += comment(text); }
  void act(const std::string& doing) {
    text_ += "  - ";
    if (pending()) add_when();
    text_ += doing + "\n";
    // A button takes longer to be up than a door to be open.
    pending_ = doing == let_go_of_stop ? "not fact.stop_pressed" : "";
  }
  /// Waits for what is pending.
  void wait(const std::string& note) {
    if (pending()) {
      text_ += "  - ";
      add_when();
      text_ += "note: " + quoted(note) + "\n";
    }
    pending_.clear();
  }
  void await(const std::string& condition) { pending_ = condition; }

  [[nodiscard]] bool pending() const { return !pending_.empty(); }
  [[nodiscard]] const std::string& text() const { return text_; }

 private:
  void add_when() {
    text_ += "when: " + quoted(pending_) + "\n    timeout: " + timeout_ + "\n    ";
    timeout_ = "24 h";
  }

  std::string pending_;
  std::string timeout_;
  std::string text_;
};

/// Whether the oven must be hot before a cycle was started: power-up finds it so.
bool begins_hot(const Claim& claim) {
  constexpr FactSet cold =
      bit(Fact::cool_to_unload) | bit(Fact::gas_settled) | bit(Fact::elements_cool);
  for (std::size_t i = 0; i < claim.script.value().scans.size(); ++i) {
    const Phase after = unpack(claim.played.value().scans[i].answer.state).places.phase;
    if (after != Phase::tripped && after != Phase::standby) return false;
    const Reading& scan = claim.script->scans[i];
    if (((scan.known & ~scan.value) | claim.as_usual[i]) & cold) return true;
  }
  return false;
}

std::string steps_of(const Claim& claim, const ScenarioMachine& machine) {
  const Script& script = claim.script.value();
  std::string usual_oven = "fact.door_closed and fact.temperature_valid and fact.gas_supply_ok";
  const bool hot = begins_hot(claim);
  if (hot) {
    // Power dips in a soak: what ran on has to stand still before a reset can be accepted. Until
    // the monitor is warm again the load would lie too long without gas.
    usual_oven =
        "first_out = power_up and not fact.fan_running and not fact.process_flow and " + usual_oven;
  } else if (machine.options.oxygen_monitor) {
    usual_oven += " and fact.oxygen_valid";
  }
  Steps steps(hot ? "power: off for 3 s" : "door: closed", usual_oven, hot ? "10 min" : "24 h");
  Reading before;
  std::string phase = std::string("phase = ") + name_of(Phase::tripped);
  OutputSet energised;
  std::string scan_before = "as usual";
  bool kept_hot = false;
  for (std::size_t i = 0; i < script.scans.size(); ++i) {
    const Scene scene = scene_of(script.scans[i], before, usual_facts(energised), machine);
    const LogicState after = unpack(claim.played.value().scans[i].answer.state);
    const std::string phase_after = std::string("phase = ") + name_of(after.places.phase);
    const std::string scan = "scan " + std::to_string(i) + " of the counterexample";
    for (const std::string& remark : scene.remarks) steps.remark(remark);

    const std::string usual = not_yet(claim.as_usual[i]);
    const bool last = i + 1 == script.scans.size();
    if (!usual.empty() && steps.pending() && (!scene.doings.empty() || last)) {
      // What the scan before waited for may be over by then.
      steps.wait(scan_before);
      // Nor may it come while a delay of what follows runs: the oven must be well away from it.
      const std::uint32_t ms = kept_hot ? 0 : 10 * delay_ahead_ms(script, i, machine.durations);
      steps.await(ms == 0 ? phase + usual
                          : "(" + phase + usual + ") for at least " + std::to_string(ms) + " ms");
      kept_hot = kept_hot || ms != 0;
    }
    bool process_first = !scene.slow.empty() && only_breaks(scene);
    for (const std::string& doing : scene.doings) {
      if (process_first && is_break(doing)) {
        // What breaks would be noticed while the process takes its time.
        steps.wait(scan_before);
        steps.await(joined(scene.slow) + " and " + phase_after);
        process_first = false;
      }
      steps.act(doing);
    }
    // Without doings the oven itself has to go on.
    if (scene.doings.empty()) steps.wait(scan);
    steps.await((scene.waits.empty() ? "" : joined(scene.waits) + " and ") + phase_after);
    before = script.scans[i];
    phase = phase_after;
    energised = after.memory.energised;
    scan_before = scan;
  }
  steps.wait("the end of the counterexample");
  return steps.text();
}

}  // namespace

std::string scenario_of(const Claim& claim, const ScenarioMachine& machine) {
  std::string text =
      "# Counterexample found by exploring the logic with facts of any kind. On the whole oven "
      "facts\n"
      "# take their time and some cannot come about: then a step waits in vain, the case fails "
      "for\n"
      "# that, and the logic is kept from the violation by the oven alone.\n";
  text += "shows: " + quoted(claim.interlock.id + " is violated: " + claim.interlock.title) + "\n";
  text += "machine: " + quoted(machine.path) + "\n";
  if (!claim.interlock.covers.empty()) text += "covers: [" + claim.interlock.covers + "]\n";
  if (machine.swept && machine.options.oxygen_monitor) {
    text +=
        "# The monitor is to read air behind the closed door, as the explored facts have it.\n"
        "override:\n  blanket: { sweep: 0 L/min }\n";
  }
  text += begins_hot(claim)                ? "start: in soak\n"
          : machine.options.oxygen_monitor ? "start: warm_monitor\n"
                                           : "start: cold\n";
  text += "steps:\n";
  if (claim.script.value().born == Cause::watchdog_restart)
    text += comment("the controller was restarted by its watchdog");
  text += steps_of(claim, machine);
  if (claim.interlock.text.find("answer.") != std::string::npos) {
    return text + "# What it speaks of is seen in the prover alone: here the steps are all.\n" +
           "until: 1 min\n";
  }
  const RunFormula judged = formula_of_run(claim.interlock, machine.options, machine.durations);
  text += "expect:\n  - name: " + quoted(claim.interlock.id) + "\n    property: " +
          quoted(begins_hot(claim) ? from_power_up(judged.text) : judged.text) +
          "\n    may_be_vacuous: where the logic is mended it need not come near\n";
  text += "until: " + std::to_string(60 + judged.takes_ms / 1000) + " s\n";
  return text;
}

}  // namespace ovenproof::prove
