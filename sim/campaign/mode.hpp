#pragma once
#include <array>
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "firmware/logic/causes.hpp"
#include "firmware/logic/enumerator_name.hpp"
#include "sim/scenario/case.hpp"

/// Failure modes of an oven's components, one by one and in pairs, judged by what the oven does.
namespace ovenproof::campaign {

/// What kind of component fails.
enum class ComponentKind : std::uint8_t {
  contact,     ///< switch, button or read-back at a contact input
  sensor,      ///< analogue measuring point
  valve,       ///< gas valve
  contactor,   ///< Q1, Q2
  fan,         ///< circulation fan
  damper,      ///< jacket damper
  blower,      ///< jacket blowers
  output,      ///< coil output of the controller, or the heater's power switch
  chain,       ///< hard-wired protection: limiter
  supply,      ///< gas supply
  heater,      ///< elements
  enclosure,   ///< seal, exhaust, non-return and relief valves
  controller,  ///< power, scan, clock, converter, settings
  count
};

inline constexpr std::size_t component_kind_count = static_cast<std::size_t>(ComponentKind::count);
inline constexpr auto component_kind_names =
    logic::enumerator_names<ComponentKind, component_kind_count>;

constexpr std::string_view name(ComponentKind kind) {
  return kind < ComponentKind::count ? component_kind_names[static_cast<std::size_t>(kind)] : "";
}

/// How a failure begins.
enum class Onset : std::uint8_t {
  abrupt,        ///< at once, and it lasts
  intermittent,  ///< comes and goes
  drifting,      ///< grows
  count
};

inline constexpr auto onset_names =
    logic::enumerator_names<Onset, static_cast<std::size_t>(Onset::count)>;

constexpr std::string_view name(Onset onset) {
  return onset < Onset::count ? onset_names[static_cast<std::size_t>(onset)] : "";
}

/// One way to bring a mode about: what is done to the oven at the instant of onset.
struct Realisation {
  Onset onset = Onset::abrupt;
  std::vector<scenario::Action> actions;  ///< texts are those of a scenario file: "fault: k1 open"
};

/// One failure mode of one component.
struct Mode {
  std::string id;         ///< "Q1.welded": tag or name of the component, then the mode; stable
  std::string component;  ///< "Q1": by which rows are grouped
  ComponentKind kind = ComponentKind::contact;
  std::string what;    ///< in words: "main contacts do not open"
  std::string source;  ///< list of failure modes it comes from: "ISO 13849-2 D: contactor", ...
  std::string note;    ///< what should be said with it; may be empty
  std::vector<Realisation> realisations;  ///< at least one unless excluded

  bool excluded = false;
  std::string exclusion_reason;  ///< why it need not be considered
  bool from_file = false;        ///< the machine file added it

  /// The file accepts that this mode ends hazardous, with this reason; empty: it does not.
  std::string accepted_reason;

  /// First-outs that tell an operator what is broken; any other is a finding. Empty: the mode has
  /// no first-out of its own, and any is accepted.
  std::vector<logic::Cause> right_first_outs;
};

}  // namespace ovenproof::campaign
