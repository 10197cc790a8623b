#include "sim/hazards/requirements.hpp"

namespace ovenproof::hazards {

const std::vector<Requirement>& requirements() {
  static const std::vector<Requirement> all{
      {"R-START-EDGE",
       "A start needs a fresh press, which counts when the button is let go: a button held down is "
       "not a press, nor is a contact that fails closed."},
      {"R-START-ARMED",
       "Closing the door starts a cycle only after a normal end and an opening to unload."},
      {"R-START-UNEXPECTED",
       "After an abnormal opening, a trip, a power loss or an emergency stop, closing the door "
       "starts nothing."},
      {"R-STOP", "Stop ends heating; the oven cools under gas until it may be opened."},
      {"R-POWER-RETURN",
       "When power returns, nothing is energised before a reset; the reset starts gas and "
       "circulation over a hot load behind its closed door, and nothing else."},
      {"R-RESET", "A trip stays until its cause is gone and reset is pressed again and let go."},
      {"R-FIRST-OUT", "The cause that came first is the one that is reported."},
      {"R-ESTOP", "The emergency stop de-energises everything."},
      {"R-DOOR-OPEN",
       "Opening the door in a cycle de-energises heat, fan and gas. A single door contact must be "
       "seen to open after each cycle."},
      {"R-DOOR-CONTACTS", "Door contacts that disagree for longer than allowed trip."},
      {"R-LIMITER",
       "The hard-wired limiter takes the heat away, and the controller trips with it."},
      {"R-OVER-TEMPERATURE", "Above its own limit the controller takes the heat away."},
      {"R-GATE",
       "Heat only after the minimum of volume changes, counted by the flow that the switch proves, "
       "and with the oxygen at or below the gate for its time."},
      {"R-GATE-RESTART", "Any loss of purge flow starts the count of volumes again."},
      {"R-GATE-TIMEOUT", "A gate not met in time trips."},
      {"R-HOLD", "Oxygen above the hold limit takes the heat away and purges again."},
      {"R-REPURGE-LIMIT", "Inert gas lost too often in one cycle trips."},
      {"R-GAS-SUPPLY", "Loss of supply pressure takes the heat away."},
      {"R-GAS-PATHS", "Purge and process path are never open at once: break before make."},
      {"R-FLOW-MISSING", "A valve commanded open without proven flow trips."},
      {"R-FLOW-UNEXPECTED", "Flow without a commanded valve trips."},
      {"R-SHRINK",
       "A hot load stays under gas until the cooling gas no longer draws air in; the purge path "
       "takes over where the process path is at fault."},
      {"R-OXYGEN-VALID", "Without a valid oxygen reading there is no heat."},
      {"R-OXYGEN-AIR",
       "With the door open long enough the oxygen reading must read air, and no cycle starts "
       "before it has since the last unloading."},
      {"R-OXYGEN-FALLS", "An oxygen reading that does not fall during a purge is a fault."},
      {"R-OXYGEN-TOO-SOON", "A reading lower than the purge can have made it is a fault."},
      {"R-OXYGEN-FROZEN", "A reading that does not change though it must is a fault."},
      {"R-FAN-HEAT", "Heat only with proven airflow."},
      {"R-FAN-RUN-ON", "The fan runs on after heat until the elements are cool."},
      {"R-FAN-PROOF", "A fan that does not prove its airflow, or airflow without command, trips."},
      {"R-TEMPERATURE-VALID", "Without a valid chamber temperature there is no heat."},
      {"R-TEMPERATURE-DISAGREE", "Thermocouples that disagree beyond a limit trip."},
      {"R-TEMPERATURE-RATE", "A rate of temperature that no oven can have is a fault."},
      {"R-TEMPERATURE-NO-RISE", "A heated oven that does not get hotter trips."},
      {"R-TEMPERATURE-RISE",
       "A temperature that rises with no demand trips, in ramp and soak as well."},
      {"R-SOAK", "A soak counts only within its band; heating that takes too long trips."},
      {"R-COOLING-TIMEOUT", "Cooling, flushes included, that takes too long trips."},
      {"R-CONTACTOR-WELDED", "A contactor that does not open trips, and the other one opens."},
      {"R-CONTACTOR-CLOSE", "A contactor that does not close trips."},
      {"R-DAMPER", "The damper proves its end positions in time; contradicting switches trip."},
      {"R-BLOWER", "Blowers run only against an open damper, and prove their airflow."},
      {"R-UNLOAD",
       "The oven asks to be unloaded only when it is cool enough to open, no gas flows and both "
       "contactors are open."},
      {"R-SETTINGS", "Settings that fail their checksum or ranges leave everything off."},
      {"R-CLOCK",
       "A clock that jumps, stands still or keeps another pace than the converter takes the heat "
       "away; gas and circulation stay."},
      {"R-SCAN",
       "A scan that overruns takes the heat away; a processor that hangs lets go of everything."},
  };
  return all;
}

}  // namespace ovenproof::hazards
