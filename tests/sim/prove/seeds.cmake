# The defects, by number; defect_test.cpp says what each must be found by.

# The matrix as a variable; what is worked out of the constant is replaced by the test's rows_in().
seed(matrix.hpp "extern const std::array<Row" "extern std::array<Row")
string(REGEX REPLACE "constexpr (std::array<Row.*// clang-format on).*$"
       "constinit \\1\n}  // namespace ovenproof::logic\n" text_of_matrix.cpp "${text_of_matrix.cpp}")

# --- edges and resets ---
seed(decisions.cpp "if (!scan.memory.reset.rises(scan.facts(Fact::reset_pressed))) return false;"
     "if (!scan.memory.reset.rises(scan.facts(Fact::reset_pressed)) &&
      !(seeded == 1 && scan.facts(Fact::reset_pressed))) return false;")
seed(decisions.cpp "return !trip_cause_present(scan.facts, situation_of(scan));"
     "return seeded == 2 || !trip_cause_present(scan.facts, situation_of(scan));")
seed(decisions.cpp "const bool pressed = memory.start.rises(scan.facts(Fact::start_pressed));"
     "const bool pressed = memory.start.rises(scan.facts(Fact::start_pressed)) ||
                          (seeded == 3 && scan.facts(Fact::start_pressed));")
seed(decisions.cpp "return !scan.facts(Fact::stop_pressed) && scan.facts(Fact::door_closed) &&"
     "return (seeded == 4 || !scan.facts(Fact::stop_pressed)) && scan.facts(Fact::door_closed) &&")
seed(decisions.cpp "scan.options.start_by_door && memory.armed &&"
     "scan.options.start_by_door && (seeded == 5 || memory.armed) &&")

# --- the gate ---
seed(decisions.cpp "return scan.facts(Fact::purge_volumes_reached);"
     "return seeded == 6 || scan.facts(Fact::purge_volumes_reached);")
seed(decisions.cpp "if (!scan.facts(Fact::oxygen_valid) || !scan.facts(Fact::oxygen_at_gate)) return false;"
     "if (!scan.facts(Fact::oxygen_valid) || (seeded != 7 && !scan.facts(Fact::oxygen_at_gate)))
      return false;")
seed(decisions.cpp "if (!scan.memory.energised.has(Output::purge_valve)) return false;"
     "if (seeded != 8 && !scan.memory.energised.has(Output::purge_valve)) return false;")
seed(decisions.cpp "if (heating.has(scan.phase) && !scan.facts(Fact::gas_supply_ok)) memory.gate_met = false;"
     "if (seeded != 9 && heating.has(scan.phase) && !scan.facts(Fact::gas_supply_ok))
    memory.gate_met = false;")
seed(decisions.cpp "if (heating.has(scan.phase) && oxygen_high(scan)) memory.gate_met = false;"
     "if (seeded != 10 && heating.has(scan.phase) && oxygen_high(scan)) memory.gate_met = false;")

# --- arming ---
seed(decisions.cpp "void trip(Scan& scan) {\n  scan.memory.armed = false;"
     "void trip(Scan& scan) {\n  if (seeded != 11) scan.memory.armed = false;")
seed(decisions.cpp "scan.options.start_by_door && scan.memory.ended_normally;"
     "scan.options.start_by_door && (seeded == 12 || scan.memory.ended_normally);")

# --- latches ---
seed(trips.cpp "memory.latched = memory.latched | row.withholds;"
     "if (seeded != 13 || !tripped) memory.latched = memory.latched | row.withholds;")
seed(trips.cpp "if (!tripped) memory.first_out = row.cause;"
     "if (seeded == 14 || !tripped) memory.first_out = row.cause;")
seed(decisions.cpp "memory.withheld = withheld;" "if (seeded != 15) memory.withheld = withheld;")
seed(decisions.cpp "(memory.latched.has(Output::process_valve) || !scan.facts(Fact::door_closed) || cold())"
     "(memory.latched.has(Output::process_valve) ||
       (seeded != 16 && !scan.facts(Fact::door_closed)) || cold())")

# --- transitions ---
seed(machine.hpp "return wanted_path(scan) == path && scan.facts.elapsed(Timer::changeover);"
     "return wanted_path(scan) == path && (seeded == 17 || scan.facts.elapsed(Timer::changeover));")
seed(machine.hpp "static bool fan_may_stop(const Scan& scan) {\n    return !fan_wanted(scan) && scan.facts(Fact::elements_cool);"
     "static bool fan_may_stop(const Scan& scan) {\n    return !fan_wanted(scan) && (seeded == 18 || scan.facts(Fact::elements_cool));")
seed(decisions.cpp "return scan.facts(Fact::cool_to_unload) && scan.facts(Fact::gas_settled);"
     "return scan.facts(Fact::cool_to_unload) && (seeded == 19 || scan.facts(Fact::gas_settled));")
seed(decisions.cpp "bool stop_pressed(const Scan& scan) { return scan.facts(Fact::stop_pressed); }"
     "bool stop_pressed(const Scan& scan) { return seeded != 20 && scan.facts(Fact::stop_pressed); }")

# --- what is told ---
seed(logic.cpp "commands.first_out = memory_.first_out;"
     "if (seeded != 21) commands.first_out = memory_.first_out;")
seed(trips.cpp "timers |= bit(row.delay);" "if (seeded != 22) timers |= bit(row.delay);")
