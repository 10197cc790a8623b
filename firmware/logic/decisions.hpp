#pragma once
#include "firmware/logic/scan.hpp"

/// Guards and actions of the state machine as plain functions of one scan: what may happen and
/// what is then remembered. The tables that use them are in machine.hpp.
namespace ovenproof::logic {

// --- before the events ---

/// Looks at the contacts that count in the phase that the scan has reached: reset when tripped,
/// start in standby, there also the door's closing where that is armed. A press counts once.
void watch_contacts(Scan& scan);
/// Times how long oxygen is held at or below the gate in a purge: in every purge, and only while
/// the purge valve is on and the reading is valid.
void time_gate_hold(Scan& scan);
/// Times how long both gas paths are shut. `path`: of the gas routing before this scan moves it.
void time_changeover(Scan& scan, GasPath path);

// --- guards of the sequence ---

/// A fresh press of reset, with no trip cause present any more (delays not waited for).
bool reset_accepted(const View& view);
/// A fresh press of start, or the armed door closing, on an oven that is ready.
bool start_accepted(const View& view);
/// While purging: volume changes by proven flow, and oxygen held at or below the gate where there
/// is a monitor.
bool gate_reached(const View& view);
/// The gas was lost, or oxygen rose above the hold limit, since the gate was met.
bool inert_gas_lost(const View& view);
bool oxygen_high(const View& view);
/// Oxygen is above the hold limit, or nobody knows: the monitor has failed.
bool air_may_come_in(const View& view);
bool programme_ended(const View& view);
bool cooled_down(const View& view);
bool door_fully_open(const View& view);
bool stop_pressed(const View& view);

// --- actions of the sequence ---

void begin_cycle(Scan& scan);
void meet_gate(Scan& scan);
void interrupt_heating(Scan& scan);
void complete_programme(Scan& scan);
void break_off_heating(Scan& scan);
void permit_unloading(Scan& scan);
void arm_next_start(Scan& scan);
void return_to_standby(Scan& scan);
void trip(Scan& scan);
/// An accepted reset. The blanket comes back over an oven that is known to be hot.
void clear_trip(Scan& scan);
void next_segment(Scan& scan);

/// The first-out puts the temperature reading in doubt: the oven may be hotter than it reads.
bool temperature_in_doubt(Cause first_out);

// --- memory that follows its causes in every phase ---

/// Once the sequence is settled: the gate is lost with the gas supply; the blanket ends for good
/// when the oven is cold (not while tripped by a doubt of its temperature), trips withhold both gas
/// paths or the door is not closed; arming ends by time or by stop.
void settle_memory(Scan& scan);
/// Once the matrix has spoken. Oxygen above the hold limit loses the gate here and not before: the
/// matrix withholds the heat in this scan, the sequence draws the consequence in the next.
void remember_outputs(Scan& scan, OutputSet demanded, OutputSet withheld);

// --- what the sequence wants of the actuators ---

/// The gas path wanted in the phase the scan has reached.
GasPath wanted_path(const View& view);
bool fan_wanted(const View& view);
/// In the scan of an accepted reset: circulation over a blanket, until the elements are cool.
bool fan_restored(const View& view);
bool jacket_cooling_wanted(const View& view);

}  // namespace ovenproof::logic
