# The defects, by number; defect_test.cpp says what each must be found by.

# The matrix as a variable; what is worked out of the constant is replaced by the test's rows_in().
seed(matrix.hpp "extern const std::array<Row" "extern std::array<Row")
string(REGEX REPLACE "constexpr (std::array<Row.*// clang-format on).*$"
       "constinit \\1\n}  // namespace ovenproof::logic\n" text_of_matrix.cpp "${text_of_matrix.cpp}")

# --- edges and resets ---
seed(decisions.cpp "scan.edges.reset = memory.reset.rises(scan.facts(Fact::reset_pressed));"
     "scan.edges.reset = memory.reset.rises(scan.facts(Fact::reset_pressed)) ||
                        (seeded == 1 && scan.facts(Fact::reset_pressed));
    if (seeded == 25 && scan.edges.reset) memory.first_out = Cause::power_up;")
seed(decisions.cpp "return view.edges.reset && !trip_cause_present(view.facts, situation_of(view));"
     "return view.edges.reset &&
         (seeded == 2 || (seeded == 29 && view.memory.first_out == Cause::k1_welded) ||
          !trip_cause_present(view.facts, situation_of(view)));")
seed(decisions.cpp "scan.edges.start = memory.start.rises(scan.facts(Fact::start_pressed));"
     "scan.edges.start = memory.start.rises(scan.facts(Fact::start_pressed)) ||
                        (seeded == 3 && scan.facts(Fact::start_pressed));")
seed(decisions.cpp "return !view.facts(Fact::stop_pressed) && view.facts(Fact::door_closed) &&"
     "return (seeded == 4 || !view.facts(Fact::stop_pressed)) && view.facts(Fact::door_closed) &&")
seed(decisions.cpp "if (scan.options.start_by_door && memory.armed)"
     "if (scan.options.start_by_door && (seeded == 5 || memory.armed))")

# --- the gate ---
seed(decisions.cpp "return view.facts(Fact::purge_volumes_reached);"
     "return seeded == 6 || view.facts(Fact::purge_volumes_reached);")
seed(decisions.cpp "view.facts(Fact::oxygen_valid) &&\n         view.facts(Fact::oxygen_at_gate);"
     "view.facts(Fact::oxygen_valid) &&
         (seeded == 7 || view.facts(Fact::oxygen_at_gate));")
seed(decisions.cpp "if (!view.memory.energised.has(Output::purge_valve)) return false;"
     "if (seeded != 8 && !view.memory.energised.has(Output::purge_valve)) return false;")
seed(decisions.cpp "return view.memory.energised.has(Output::purge_valve) && view.facts"
     "return (seeded == 8 || view.memory.energised.has(Output::purge_valve)) && view.facts")
seed(decisions.cpp "if (heating.has(scan.phase) && !scan.facts(Fact::gas_supply_ok)) memory.gate_met = false;"
     "if (seeded != 9 && heating.has(scan.phase) && !scan.facts(Fact::gas_supply_ok))
    memory.gate_met = false;")
seed(decisions.cpp "if (heating.has(scan.phase) && oxygen_high(scan.view())) memory.gate_met = false;"
     "if (seeded != 10 && heating.has(scan.phase) && oxygen_high(scan.view())) memory.gate_met = false;")

# --- arming ---
seed(decisions.cpp "void trip(Scan& scan) {\n  scan.memory.armed = false;"
     "void trip(Scan& scan) {\n  if (seeded != 11) scan.memory.armed = false;")
seed(decisions.cpp "scan.options.start_by_door && scan.memory.ended_normally;"
     "scan.options.start_by_door && (seeded == 12 || scan.memory.ended_normally);")

# --- latches ---
seed(trips.cpp "memory.latched = memory.latched | row.withholds;"
     "if (seeded != 13 || !tripped) memory.latched = memory.latched | row.withholds;")
seed(trips.cpp "if (!tripped) memory.first_out = row.cause;"
     "if (seeded == 14 || !tripped) memory.first_out = seeded == 26 ? Cause::power_up : row.cause;")
seed(decisions.cpp "memory.withheld = withheld;" "if (seeded != 15) memory.withheld = withheld;")
seed(decisions.cpp "(memory.latched.covers(both_paths) || !scan.facts(Fact::door_closed) || cold())"
     "(memory.latched.covers(both_paths) ||
       (seeded != 16 && !scan.facts(Fact::door_closed)) || cold())")

# --- transitions ---
seed(machine.hpp "return wanted_path(view) == path && view.facts.elapsed(Timer::changeover);"
     "return wanted_path(view) == path && (seeded == 17 || view.facts.elapsed(Timer::changeover));")
seed(machine.hpp "static bool fan_may_stop(const View& view) {\n    return !fan_wanted(view) && view.facts(Fact::elements_cool);"
     "static bool fan_may_stop(const View& view) {\n    return !fan_wanted(view) && (seeded == 18 || view.facts(Fact::elements_cool));")
seed(decisions.cpp "return view.facts(Fact::cool_to_unload) && view.facts(Fact::gas_settled);"
     "return view.facts(Fact::cool_to_unload) && (seeded == 19 || view.facts(Fact::gas_settled));")
seed(decisions.cpp "bool stop_pressed(const View& view) { return view.facts(Fact::stop_pressed); }"
     "bool stop_pressed(const View& view) { return seeded != 20 && view.facts(Fact::stop_pressed); }")

# --- gas and circulation of a hot load ---
seed(decisions.cpp "return view.memory.latched.has(Output::process_valve) ? GasPath::purge : GasPath::process;"
     "return seeded != 32 && view.memory.latched.has(Output::process_valve) ? GasPath::purge
                                                                          : GasPath::process;")
seed(decisions.cpp "if (known_hot(scan.view())) scan.memory.blanket = true;"
     "if (seeded == 33 || known_hot(scan.view())) scan.memory.blanket = true;")
seed(decisions.cpp "return view.reset_now && view.memory.blanket &&"
     "return (seeded == 34 || view.reset_now) && view.memory.blanket &&")
seed(decisions.cpp "view.memory.blanket && known_hot(view) &&"
     "view.memory.blanket && (seeded == 35 || known_hot(view)) &&")

# --- what is told ---
seed(logic.cpp "commands.first_out = memory_.first_out;"
     "if (seeded != 21) commands.first_out = memory_.first_out;")
seed(trips.cpp "timers |= bit(row.delay);" "if (seeded != 22) timers |= bit(row.delay);")

# --- timers ---
seed(decisions.cpp "      oxygen_at_gate(scan.view())) {"
     "      (seeded == 23 || oxygen_at_gate(scan.view()))) {")
seed(decisions.cpp "if (path == GasPath::shut) scan.commands.timers"
     "if (seeded == 24 || path == GasPath::shut) scan.commands.timers")
seed(trips.cpp "if (!row.condition.holds(facts, situation)) return false;\n  if (row.delay == Timer::count) return true;"
     "if (seeded == 31 && row.delay != Timer::count) timers |= bit(row.delay);
  if (!row.condition.holds(facts, situation)) return false;\n  if (row.delay == Timer::count) return true;")

# --- what the controller calls, and the explorer does not take step by step ---
seed(logic.cpp "Progress progress = begin();\n  while"
     "Progress progress = begin();
  if (seeded == 27) progress.trips &= ~(RowSet{1} << static_cast<unsigned>(Cause::emergency_stop));
  if (seeded == 28 && facts(Fact::clock_jump) && facts(Fact::elements_cool)) return tell(progress.commands), progress.commands;
  while")
