#pragma once
#include "firmware/logic/scan.hpp"

/// Guards and actions of the state machine as plain functions of one scan: what may happen and
/// what is then remembered. The tables that use them are in sequence.hpp and actuators.hpp.
namespace ovenproof::logic {

// --- guards of the sequence ---

/// A fresh press of reset, with no trip cause present any more (delays not waited for).
bool reset_accepted(const Scan& scan);
/// A fresh press of start, or the armed door closing, on an oven that is ready.
bool start_accepted(const Scan& scan);
/// While purging: volume changes by proven flow, and oxygen held at or below the gate where there
/// is a monitor.
bool gate_reached(const Scan& scan);
/// The gas was lost, or oxygen rose above the hold limit, since the gate was met.
bool inert_gas_lost(const Scan& scan);
bool oxygen_high(const Scan& scan);
bool programme_ended(const Scan& scan);
bool cooled_down(const Scan& scan);
bool door_fully_open(const Scan& scan);
bool stop_pressed(const Scan& scan);

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
void clear_trip(Scan& scan);
void next_segment(Scan& scan);

/// What tripped says that the oven is not as hot as it reads, or that nobody knows.
bool temperature_in_doubt(Cause first_out);

// --- memory that follows its causes in every phase ---

/// Once the sequence is settled: the gate is lost with the gas supply; the blanket ends for good
/// when the oven is cold (not while tripped by a doubt of its temperature), a trip withholds it or
/// the door is not closed; arming ends by time or by stop.
void settle_memory(Scan& scan);
/// Once the matrix has spoken. Oxygen above the hold limit loses the gate here and not before: the
/// matrix withholds the heat in this scan, the sequence draws the consequence in the next.
void remember_outputs(Scan& scan, OutputSet demanded, OutputSet withheld);

// --- what the sequence wants of the actuators ---

/// The gas path wanted in the phase the scan has reached.
GasPath wanted_path(const Scan& scan);
bool fan_wanted(const Scan& scan);
bool jacket_cooling_wanted(const Scan& scan);

}  // namespace ovenproof::logic
