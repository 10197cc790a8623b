#pragma once
#include <string>
#include <string_view>
#include <vector>

#include "sim/campaign/mode.hpp"

/// The failure modes that an oven of that order can have, and which first-outs tell them right.
///
/// Both are written down from the components and their lists of failure modes, not from the
/// controller: a first-out that is not among the right ones is a finding about the controller.
namespace ovenproof::campaign {

/// Lists of failure modes, as they are cited. The entries are from memory: ISO 13849-2:2012, tables
/// of annexes A, B and D: check against the standard.
inline constexpr std::string_view annex_D = "ISO 13849-2 D";  ///< electrical
inline constexpr std::string_view annex_B = "ISO 13849-2 B";  ///< pneumatic
inline constexpr std::string_view annex_A = "ISO 13849-2 A";  ///< mechanical
inline constexpr std::string_view usual = "usual in the trade";

/// Air that comes in, wherever, shows as oxygen that does not fall or comes back.
inline const std::vector<logic::Cause> air_comes_in{logic::Cause::repurge_limit,
                                                    logic::Cause::gate_not_met_in_time,
                                                    logic::Cause::oxygen_not_falling};

/// Modes by kind of component, in the order of the machine's points; `common_modes`: of what
/// several points share, of what lies around the oven, and of how it was put together.
std::vector<Mode> contact_modes(const machine::Machine& machine);
std::vector<Mode> sensor_modes(const machine::Machine& machine);
std::vector<Mode> output_modes(const machine::Machine& machine);
std::vector<Mode> component_modes(const machine::Machine& machine);
std::vector<Mode> common_modes(const machine::Machine& machine);
std::vector<Mode> controller_modes(const machine::Machine& machine);

/// The tag of the point with that key; the key itself if no point has it. "oxygen" is the point of
/// the measurement that is fitted.
std::string tag_of(std::string_view key, const machine::Machine& machine);

/// All of them, grouped by component, with what the machine file adds, and what it excludes and
/// accepts if that is signed off for this machine (`machine::sign_off_fault`). What it says of
/// modes that are not there is ignored here: `remark_errors` finds it.
std::vector<Mode> catalogue(const machine::Machine& machine);

/// What is wrong with what the machine file says of failure modes: of modes that the oven does not
/// have, of one mode twice, actions that cannot be read. In the order of the file.
std::vector<machine::Error> remark_errors(const machine::Machine& machine);

/// What protection must answer: door opened in heat, too hot, gas lost, emergency stop.
std::vector<Mode> demands();

}  // namespace ovenproof::campaign
