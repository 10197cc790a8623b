#include "sim/prove/scenario_file.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <optional>
#include <string_view>
#include <vector>

#include "sim/prove/run_formula.hpp"

namespace ovenproof::prove {
namespace {

using namespace logic;

std::string name(Fact fact) { return name_of(fact); }

const std::string let_go_of_stop = "release: stop";

/// How a fact is brought to a value, and back; without steps where nobody can.
struct Doing {
  std::vector<std::string> steps;  ///< "door: open"
  std::string remark;              ///< why there is none, or what it stands for
};

/// One whose press counts when it is let go.
Doing press(const char* which, bool pressed) {
  return pressed ? Doing{{std::string("press: ") + which}, ""} : Doing{};
}

/// What breaks, "tt_a open" and so on, and heals.
Doing breaks(const std::vector<std::string>& faults, bool back) {
  Doing doing;
  for (const std::string& fault : faults) {
    doing.steps.push_back(back ? "heal: " + fault.substr(0, fault.find(' ')) : "fault: " + fault);
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
      return breaks({"tt_a open"}, back);
    case Fact::thermocouples_disagree:
      return breaks({"tt_a offset 1 mV"}, back);
    case Fact::temperature_rate_implausible:
      return breaks({"tt_a offset 3 mV"}, back);
    case Fact::over_temperature:
      return breaks({"tt_a stuck_at 40 mV"}, back);
    case Fact::no_temperature_rise:
      return breaks({"element_broken 100 %"}, back);
    case Fact::rise_without_demand:
      return breaks({"tt_a drift 110 mV/h", "tt_b drift 110 mV/h"}, back);
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
      // A purge that never meets its gate, that its time may run out.
      if (fact == fact_of(Timer::purge_timeout) && value && machine.options.oxygen_monitor)
        return breaks({"seal_leaking 3 %", noise}, back);
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
};

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
    if (listed && i < plain_fact_count)
      scene.waits.push_back((value ? "fact." : "not fact.") + name(fact));
  }
  // A button takes longer to be up than a door to be open.
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
                       timer == Timer::arm_expiry;
    if (!limit && (elapsed & bit(fact_of(timer))) != 0)
      longest = std::max(longest, durations.timers[i]);
  }
  return longest;
}

}  // namespace

std::string scenario_of(const Claim& claim, const ScenarioMachine& machine) {
  const Script& script = claim.script.value();
  const Played& played = claim.played.value();
  std::string text =
      "# Refutation found by exploring the logic with facts of any kind. On the whole oven facts\n"
      "# take their time and some cannot come about: then a step waits in vain, the case fails "
      "for\n"
      "# that, and the logic is kept from the violation by the oven alone.\n";
  text += "shows: " + quoted(claim.interlock.id + " is violated: " + claim.interlock.title) + "\n";
  text += "machine: " + quoted(machine.path) + "\n";
  if (!claim.interlock.covers.empty()) text += "covers: [" + claim.interlock.covers + "]\n";
  text += machine.options.oxygen_monitor ? "start: warm_monitor\n" : "start: cold\n";
  text += "steps:\n";
  std::string steps;
  if (script.born == Cause::watchdog_restart) {
    steps += comment("the controller was restarted by its watchdog");
  }
  steps += "  - door: closed\n";
  Reading before;
  Phase phase = Phase::tripped;
  OutputSet energised;
  bool lasting = false;  // a wait was made longer for the sake of a delay
  // Condition that the next doing waits for: first that the oven is as usual.
  std::string pending = "fact.door_closed and fact.temperature_valid and fact.gas_supply_ok";
  if (machine.options.oxygen_monitor) pending += " and fact.oxygen_valid";
  for (std::size_t i = 0; i < script.scans.size(); ++i) {
    const Scene scene = scene_of(script.scans[i], before, usual_facts(energised), machine);
    const LogicState after = unpack(played.scans[i].answer.state);
    for (const std::string& remark : scene.remarks) steps += comment(remark);
    const std::string usual = not_yet(claim.as_usual[i]);
    if (!usual.empty() && !pending.empty() &&
        (!scene.doings.empty() || i + 1 == script.scans.size())) {
      // What the scan before waited for may be over by then.
      steps +=
          "  - when: " + quoted(pending) + "\n    timeout: 24 h\n    note: " +
          quoted(i == 0 ? "as usual" : "scan " + std::to_string(i - 1) + " of the refutation") +
          "\n";
      pending = std::string("phase = ") + name_of(phase) + usual;
      // Nor while a delay of what follows runs: what has only just come goes again too soon.
      const std::uint32_t ms = 10 * delay_ahead_ms(script, i, machine.durations);
      if (ms != 0 && !lasting)
        pending = "(" + pending + ") for at least " + std::to_string(ms) + " ms";
      lasting = lasting || ms != 0;
    }
    for (const std::string& doing : scene.doings) {
      steps += "  - ";
      if (!pending.empty()) {
        steps += "when: " + quoted(pending) + "\n    timeout: 24 h\n    ";
        pending.clear();
      }
      steps += doing + "\n";
      if (doing == let_go_of_stop) pending = "not fact.stop_pressed";
    }
    // Without doings the oven itself has to go on; the wait is kept and made stricter.
    std::vector<std::string> waits = scene.waits;
    waits.push_back(std::string("phase = ") + name_of(after.places.phase));
    if (!scene.doings.empty() || pending.empty()) {
      pending = joined(waits);
    } else {
      steps += "  - when: " + quoted(pending) + "\n    timeout: 24 h\n    note: " +
               quoted("scan " + std::to_string(i) + " of the refutation") + "\n";
      pending = joined(waits);
    }
    before = script.scans[i];
    phase = after.places.phase;
    energised = after.memory.energised;
  }
  if (!pending.empty()) {
    steps += "  - when: " + quoted(pending) +
             "\n    timeout: 24 h\n    note: the end of the refutation\n";
  }
  text += steps;
  if (claim.interlock.text.find("answer.") != std::string::npos) {
    return text + "# What it speaks of is seen in the prover alone: here the steps are all.\n" +
           "until: 1 min\n";
  }
  const RunFormula judged = formula_of_run(claim.interlock, machine.options, machine.durations);
  text += "expect:\n  - name: " + quoted(claim.interlock.id) +
          "\n    property: " + quoted(judged.text) +
          "\n    may_be_vacuous: where the logic is mended it need not come near\n";
  text += "until: " + std::to_string(60 + judged.takes_ms / 1000) + " s\n";
  return text;
}

}  // namespace ovenproof::prove
