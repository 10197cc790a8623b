#pragma once
#include <array>
#include <string_view>

#include "firmware/settings/entry.hpp"

/// Entries of the oven itself: what it is made of, its contacts, gas, actuators and temperature.
namespace ovenproof::settings {

inline constexpr std::array<std::string_view, 2> gas_names{"nitrogen", "argon"};
inline constexpr std::array<std::string_view, 3> oxygen_sensor_names{"none", "zirconia_cell",
                                                                     "transmitter"};
inline constexpr std::array<std::string_view, 2> thermocouple_type_names{"K", "N"};

namespace detail {

inline constexpr auto options_table = [] {
  constexpr auto g = &Settings::options;
  using T = Options;
  return std::array{
      choice<g, &T::gas>("options.gas", gas_names, "purge and process gas",
                         "argon is heavier than air and collects low; nitrogen is about neutral"),
      choice<g, &T::oxygen_sensor>(
          "options.oxygen_sensor", oxygen_sensor_names, "oxygen monitor in the exhaust",
          "none: purge is judged by proven flow and chamber volumes alone"),
      boolean<g, &T::jacket_cooling>("options.jacket_cooling",
                                     "forced air through the jacket while cooling",
                                     "as built; needs damper end switches and blower proof"),
      boolean<g, &T::start_by_door>(
          "options.start_by_door", "closing the door starts an armed cycle",
          "a start by closing a guard is an exception to ISO 12100 (from memory: "
          "ISO 12100:2010, 6.3.3.2.5: check against the standard): "
          "the machine's risk assessment must allow it"),
      integer<g, &T::door_contacts>("options.door_contacts", "1", 1, 2, "contacts on the door",
                                    "two are compared with each other; as built"),
      integer<g, &T::thermocouples>("options.thermocouples", "1", 1, 2,
                                    "control thermocouples, without that of the limiter",
                                    "two are compared with each other; as built"),
      choice<g, &T::thermocouple_type>("options.thermocouple_type", thermocouple_type_names,
                                       "type of the control thermocouples, IEC 60584-1",
                                       "as built"),
  };
}();

inline constexpr auto contacts_table = [] {
  constexpr auto g = &Settings::contacts;
  using T = Contacts;
  return std::array{
      integer<g, &T::door_close_debounce>("contacts.door_close_debounce", "ms", 0, 5'000,
                                          "door must read closed this long to be believed",
                                          "common practice; a door settles on its seal"),
      integer<g, &T::door_open_debounce>(
          "contacts.door_open_debounce", "ms", 0, 20,
          "door must read open this long to be believed",
          "contact bounce is mostly below 10 ms (from memory: data sheet of the contact, bounce: "
          "check against the source); heat must go off fast"),
      integer<g, &T::door_discrepancy>("contacts.door_discrepancy", "ms", 100, 10'000,
                                       "the two door contacts may disagree this long",
                                       "common practice: 0.5 s to 3 s"),
      integer<g, &T::button_debounce>("contacts.button_debounce", "ms", 10, 1'000,
                                      "a button must be held this long to count",
                                      "contact bounce is mostly below 10 ms (from memory: data "
                                      "sheet of the contact, bounce: check against the source)"),
      integer<g, &T::contact_debounce>(
          "contacts.contact_debounce", "ms", 0, 1'000,
          "any other contact must hold this long to be believed",
          "contactor drop-out bounces 5 ms to 100 ms (from memory: data sheet of the contactor, "
          "drop-out and bounce: check against the source)"),
      integer<g, &T::proof_losses>(
          "contacts.proof_losses", "1", 1, 100,
          "proofs of gas pressure, flow and air may be lost this often within the window",
          "common practice, no source; a healthy cycle loses each a few times"),
      integer<g, &T::proof_loss_window>(
          "contacts.proof_loss_window", "ms", 1'000, hour_ms,
          "window from the first loss; a proof lost more often counts as off until reset",
          "common practice, no source"),
      integer<g, &T::proof_least_off>(
          "contacts.proof_least_off", "ms", 0, 4'000,
          "a proof that is lost counts as off for at least this long",
          "common practice, no source: contactors that follow a flickering proof stay off this "
          "long"),
  };
}();

inline constexpr auto purge_table = [] {
  constexpr auto g = &Settings::purge;
  using T = Purge;
  return std::array{
      number<g, &T::chamber_volume_L>("purge.chamber_volume", "L", 1, 100'000,
                                      "gas volume of the empty chamber",
                                      "as built; a load only makes it smaller"),
      number<g, &T::purge_flow>("purge.purge_flow", "L/min", 0.1F, 100'000,
                                "purge flow as set at the rotameter, 0 degC and 101.325 kPa",
                                "as commissioned"),
      number<g, &T::process_flow>("purge.process_flow", "L/min", 0.1F, 100'000,
                                  "process flow as set at the rotameter, 0 degC and 101.325 kPa",
                                  "common practice: well below purge flow holds the level"),
      number<g, &T::minimum_volumes>(
          "purge.minimum_volumes", "1", 4, 100,
          "chamber volumes of proven purge flow before the gate can be met",
          "5 volume changes: inert purge of Class C by timed flow (from memory: NFPA 86:2019, "
          "clause "
          "13.5: check against the standard); "
          "without oxygen monitor 8 or more: stirred dilution needs 7.65 to 100 ppm"),
      number<g, &T::counted_share>(
          "purge.counted_share", "1", 0.1F, 1,
          "share of purge_flow by which volumes are counted: where the flow switch lets go",
          "a switch proves its set point, no more; data sheet of the flow switch, set point less "
          "hysteresis"),
      number<g, &T::gate>(
          "purge.gate", "ppm", 1, 10'000, "oxygen at or below which heat may start",
          "set by the load's oxidation; 1 % is the usual limit before special "
          "atmospheres (from memory: NFPA 86:2019, clause 13.5: check against the standard)"),
      integer<g, &T::gate_hold>("purge.gate_hold", "ms", 1'000, hour_ms,
                                "oxygen must stay at or below the gate this long",
                                "common practice; longer than the response of the analyser"),
      number<g, &T::gate_hysteresis>("purge.gate_hysteresis", "ppm", 0, 10'000,
                                     "the gate is lost above the gate by this",
                                     "common practice; above the noise of the analyser"),
      number<g, &T::hold_limit>("purge.hold_limit", "ppm", 2, 20'000,
                                "oxygen above which heat goes off and the chamber is purged again",
                                "set by the load's oxidation, above the gate"),
      number<g, &T::hold_hysteresis>("purge.hold_hysteresis", "ppm", 0, 10'000,
                                     "the hold limit is regained below it by this",
                                     "common practice; above the noise of the analyser"),
      integer<g, &T::timeout>("purge.timeout", "ms", 10'000, day_ms,
                              "longest purge; the gate not met by then is a fault",
                              "common practice: two to three times the commissioned purge time"),
      integer<g, &T::max_repurges>("purge.max_repurges", "1", 0, 3,
                                   "times a cycle may purge again after oxygen rose",
                                   "common practice: a leak that returns is a fault"),
      integer<g, &T::arm_expiry>("purge.arm_expiry", "ms", 10'000, day_ms,
                                 "door start stays armed this long after the end of a cycle",
                                 "no unexpected start-up (ISO 14118): arming must not outlive the "
                                 "operator's attention"),
  };
}();

inline constexpr auto timing_table = [] {
  constexpr auto g = &Settings::timing;
  using T = Timing;
  return std::array{
      integer<g, &T::flow_proof>("timing.flow_proof", "ms", 100, 60'000,
                                 "valve commanded to flow proven", "common practice"),
      integer<g, &T::flow_gone>("timing.flow_gone", "ms", 100, 60'000,
                                "valve off to flow no longer proven", "common practice"),
      integer<g, &T::changeover>("timing.changeover", "ms", 0, 60'000,
                                 "both gas valves stay shut this long between two paths",
                                 "as built; longer than a valve takes to shut"),
      integer<g, &T::supply_loss>("timing.supply_loss", "ms", 0, 60'000,
                                  "supply pressure may be low this long",
                                  "common practice; valves opening dip the pressure"),
      integer<g, &T::fan_start>("timing.fan_start", "ms", 100, 120'000,
                                "fan commanded to airflow proven", "common practice"),
      integer<g, &T::fan_stop>("timing.fan_stop", "ms", 100, 600'000,
                               "fan off to airflow no longer proven",
                               "common practice; the wheel coasts"),
      integer<g, &T::contactor_response>(
          "timing.contactor_response", "ms", 20, 5'000,
          "contactor commanded to mirror contact following, either way",
          "drop-out takes 5 ms to 100 ms (from memory: data sheet of the contactor, drop-out time: "
          "check against the source); mirror contacts: IEC 60947-4-1 annex F"),
      integer<g, &T::damper_open_travel>("timing.damper_open_travel", "ms", 100, 600'000,
                                         "damper closed end to open end", "as built"),
      integer<g, &T::damper_close_travel>("timing.damper_close_travel", "ms", 100, 600'000,
                                          "damper open end to closed end, by spring", "as built"),
      integer<g, &T::blower_start>("timing.blower_start", "ms", 100, 120'000,
                                   "blower commanded to airflow proven", "common practice"),
      integer<g, &T::blower_stop>("timing.blower_stop", "ms", 100, 600'000,
                                  "blower off to airflow no longer proven",
                                  "common practice; the wheel coasts"),
  };
}();

inline constexpr auto temperature_table = [] {
  constexpr auto g = &Settings::temperature;
  using T = Temperature;
  return std::array{
      number<g, &T::high_limit>(
          "temperature.high_limit", "degC", 50, 1'200, "control temperature that trips the heat",
          "below the hard-wired limiter, which is set about 28 K (50 degF) above the oven's "
          "maximum by common practice"),
      number<g, &T::high_limit_hysteresis>("temperature.high_limit_hysteresis", "K", 0.1F, 100,
                                           "over-temperature ends this far below the high limit",
                                           "common practice"),
      number<g, &T::limit_margin>("temperature.limit_margin", "K", 1, 200,
                                  "least distance of any target from the high limit",
                                  "common practice; room for overshoot"),
      number<g, &T::disagree_limit>("temperature.disagree_limit", "K", 1, 200,
                                    "the two control thermocouples may differ by this much",
                                    "common practice; type K class 1 alone allows 0.4 % "
                                    "(IEC 60584-1)"),
      integer<g, &T::disagree_time>("temperature.disagree_time", "ms", 0, 600'000,
                                    "and beyond that for this long", "common practice"),
      integer<g, &T::rate_window>("temperature.rate_window", "ms", 1'000, 600'000,
                                  "time over which the rate of change is judged",
                                  "common practice; long beside noise, short beside the oven"),
      number<g, &T::rate_max_rise>("temperature.rate_max_rise", "K", 1, 1'000,
                                   "no oven gains more than this within it",
                                   "common practice; ten times the oven's own heating rate"),
      number<g, &T::rate_max_fall>("temperature.rate_max_fall", "K", 1, 1'000,
                                   "or loses more than this",
                                   "common practice; an opened door is fast"),
      number<g, &T::rate_max_fall_closed>(
          "temperature.rate_max_fall_closed", "K", 1, 1'000,
          "or, behind a closed door, more than this",
          "common practice; a thermocouple that slips out or is shorted falls faster than a closed "
          "oven can cool"),
      integer<g, &T::no_rise_time>("temperature.no_rise_time", "ms", 10'000, 4 * hour_ms,
                                   "heated hard below the setpoint this long must show a rise",
                                   "common practice; longer than the dead time of a full load"),
      number<g, &T::min_rise>("temperature.min_rise", "K", 0.5F, 100, "the rise it must show",
                              "common practice; above noise"),
      integer<g, &T::no_rise_drive_permille>("temperature.no_rise_drive", "permille", 50, 1'000,
                                             "heater drive from which a rise is expected",
                                             "above the drive that holds the highest soak"),
      number<g, &T::undemanded_rise>("temperature.undemanded_rise", "K", 1, 200,
                                     "a rise without demand by more than this is a fault",
                                     "common practice; above what hot elements still give off"),
      number<g, &T::max_overshoot>(
          "temperature.max_overshoot", "K", 1, 200,
          "in ramp and soak, a rise at zero drive by more than this is a fault",
          "common practice; above what hot elements still give off: a shorted power switch goes on "
          "heating"),
      number<g, &T::undemanded_slow_rise_K_per_min>(
          "temperature.undemanded_slow_rise", "K/min", 0, 10,
          "a chamber without heat may even out at this rate for ever", "common practice"),
      integer<g, &T::undemanded_grace>("temperature.undemanded_grace", "ms", 0, 4 * hour_ms,
                                       "after heat went off, a rise counts only from here on",
                                       "common practice; elements and load even out"),
      number<g, &T::range_low>("temperature.range_low", "degC", -100, 20,
                               "readings below are invalid", "coldest workshop"),
      number<g, &T::range_high>("temperature.range_high", "degC", 100, 1'300,
                                "readings above are invalid",
                                "types K and N are defined to 1300 degC and beyond (IEC 60584-1)"),
      number<g, &T::cold_junction_low>("temperature.cold_junction_low", "degC", -40, 20,
                                       "terminal temperatures below are invalid",
                                       "coldest workshop"),
      number<g, &T::cold_junction_high>("temperature.cold_junction_high", "degC", 30, 100,
                                        "terminal temperatures above are invalid",
                                        "common practice; hottest cabinet"),
  };
}();

}  // namespace detail
}  // namespace ovenproof::settings
