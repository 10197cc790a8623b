#include "judge.hpp"

#include "firmware/logic/matrix.hpp"

namespace ovenproof::logic::test {
namespace {

/// Long enough for every blanket and run-on of the bench to come and go.
constexpr unsigned long_after = 30;

class Judge {
 public:
  Judge(Cause cause, Phase phase)
      : where_(std::string(row_of(cause).key) + " in " + name_of(phase) + ": ") {}

  void expect(bool holds, const std::string& complaint) {
    if (!holds) complaints.push_back(where_ + complaint);
  }
  void expect_outputs(OutputSet found, OutputSet expected, const char* when) {
    expect(found == expected, std::string(when) + " the outputs are " + text_of(found) +
                                  " and not " + text_of(expected));
  }
  void expect_within(OutputSet found, OutputSet allowed, const char* when) {
    expect(allowed.covers(found), std::string(when) + " there is " + text_of(found - allowed));
  }

  Complaints complaints;

 private:
  std::string where_;
};

void force(Bench& b, const std::vector<Forced>& facts) {
  for (const Forced& f : facts) b.force(f.fact, f.value);
}
void release(Bench& b, const std::vector<Forced>& facts) {
  for (const Forced& f : facts) b.release(f.fact);
}

/// A hot load that was inert keeps its gas: process gas, or purge gas where that is withheld.
OutputSet blanket_after(Phase phase, OutputSet withheld) {
  const bool hot_and_inert = phase == Phase::ramp || phase == Phase::soak ||
                             phase == Phase::repurging || phase == Phase::cooling ||
                             phase == Phase::flushing;
  if (!hot_and_inert) return nothing;
  return OutputSet(withheld.has(Output::process_valve) ? Output::purge_valve
                                                       : Output::process_valve) -
         withheld;
}

/// Tripped, and the cause gone: it stays, waits for a fresh press, and nothing starts by that.
void expect_latch_and_reset(Judge& judge, Bench& b, Cause cause) {
  OutputSet allowed = b.outputs();
  for (unsigned n = 0; n < 10; ++n) {
    b.scan();
    judge.expect(b.phase() == Phase::tripped, "does not stay tripped when the cause has gone");
    judge.expect(b.commands.first_out == cause, "the first-out changes when the cause has gone");
    judge.expect_within(b.outputs(), allowed, "when the cause has gone");
    allowed = b.outputs();
  }
  const Commands reset = b.press(Fact::reset_pressed);
  judge.expect(reset.phase == Phase::standby, "a fresh reset does not lead to standby");
  judge.expect(reset.first_out == Cause::none, "a reset leaves the first-out");
  judge.expect(reset.acknowledge, "a reset is not acknowledged to the instruments");
  // A reset gives a hot load behind its closed door gas and circulation, and nothing else.
  const bool known_hot =
      b.fact(Fact::door_closed) && b.fact(Fact::temperature_valid) && !b.fact(Fact::cool_to_unload);
  const OutputSet restored = known_hot ? OutputSet(Output::process_valve, Output::fan) : nothing;
  for (unsigned n = 0; n < 10; ++n) {
    judge.expect_within(b.outputs(), allowed | restored, "after the reset");
    allowed = b.outputs();
    b.scan();
    judge.expect(b.phase() == Phase::standby, "does not rest in standby after the reset");
  }
}

/// The scan in which the trip must come has been done.
void expect_trip(Judge& judge, Bench& b, Cause cause, OutputSet withheld, Depth depth) {
  judge.expect(b.phase() == Phase::tripped, "does not trip");
  judge.expect(
      b.commands.first_out == cause,
      std::string("the first-out is ") +
          (b.commands.first_out == Cause::none ? "none" : row_of(b.commands.first_out).key));
  judge.expect((b.outputs() & withheld).empty(),
               "not withheld: " + text_of(b.outputs() & withheld));
  if (depth == Depth::with_memory) {
    judge.expect_outputs(b.logic.memory().latched, withheld, "latched,");
  }
}

void expect_quiet_while_it_lasts(Judge& judge, Bench& b, Cause cause, OutputSet allowed) {
  for (unsigned n = 0; n < long_after; ++n) {
    b.scan();
    judge.expect(b.phase() == Phase::tripped, "leaves the trip by itself");
    judge.expect(b.commands.first_out == cause, "the first-out does not stay");
    judge.expect_within(b.outputs(), allowed, "while the cause lasts");
  }
}

}  // namespace

std::string text_of(OutputSet outputs) {
  std::string text = "{";
  for (std::size_t i = 0; i < output_count; ++i) {
    const auto output = static_cast<Output>(i);
    if (outputs.has(output)) text += std::string(text.size() > 1 ? " " : "") + name_of(output);
  }
  return text + "}";
}

std::map<Phase, Bench> stages_of(Options options) {
  std::map<Phase, Bench> stages;
  for (std::size_t i = 0; i < phase_count; ++i) {
    const auto phase = static_cast<Phase>(i);
    if (!reachable(phase, options)) continue;
    Stage s = stage(phase, options);
    if (s.reached) stages.emplace(phase, s.bench);
  }
  return stages;
}

Complaints judge_trip(const TripExpectation& expected, Phase phase, const Bench& start,
                      Depth depth) {
  Judge judge(expected.cause, phase);
  Bench b = start;
  const OutputSet before = b.outputs();
  const OutputSet kept = before - expected.meanwhile;
  b.force(Fact::elements_cool, false);  // so that the fan has a reason to run on
  force(b, expected.by);

  const unsigned delay = expected.delay == Timer::count ? 0 : preset(expected.delay);
  for (unsigned n = 0; n < delay; ++n) {
    b.scan();
    judge.expect(b.commands.first_out == Cause::none, "trips before its delay is over");
    if (expected.leaves_phase) continue;
    judge.expect(b.phase() == phase, "leaves the phase before its delay is over");
    judge.expect_within(kept, b.outputs(), "before the delay is over, missing");
    judge.expect_within(b.outputs(), before, "before the delay is over");
  }
  b.scan();
  expect_trip(judge, b, expected.cause, expected.withheld, depth);

  // A trip ends the cycle: no heat, no purge, no cooling air. The fan may run on and a hot load
  // keeps its gas, unless this cause takes them away.
  using enum Output;
  const OutputSet after = (kept & OutputSet(fan, process_valve)) - expected.withheld;
  if (!expected.leaves_phase) judge.expect_outputs(b.outputs(), after, "with the trip");
  judge.expect((b.outputs() & (heat | OutputSet(purge_valve, damper, blower))).empty(),
               "the trip leaves on " + text_of(b.outputs()));
  const OutputSet allowed = b.outputs() | blanket_after(phase, expected.withheld);
  expect_quiet_while_it_lasts(judge, b, expected.cause, allowed);

  // A path that will not shut is no longer unexpected once a hot load wants its gas.
  const bool wanted_by_now =
      (expected.cause == Cause::process_flow_unexpected &&
       b.outputs().has(Output::process_valve)) ||
      (expected.cause == Cause::purge_flow_unexpected && b.outputs().has(Output::purge_valve));
  if (expected.refuses_reset && !wanted_by_now) {
    b.press(Fact::reset_pressed);
    judge.expect(b.phase() == Phase::tripped, "reset although the cause is there");
    b.force(Fact::reset_pressed, true);  // and held until after the cause has gone
    b.scan();
  }
  release(b, expected.by);
  expect_latch_and_reset(judge, b, expected.cause);
  return judge.complaints;
}

Complaints judge_no_trip(const TripExpectation& expected, Phase phase, const Bench& start) {
  Judge judge(expected.cause, phase);
  Bench b = start;
  force(b, expected.by);
  for (unsigned n = 0; n < long_after; ++n) {
    b.scan();
    judge.expect(b.commands.first_out != expected.cause, "trips where it must not");
  }
  return judge.complaints;
}

Complaints judge_reset_waits(const TripExpectation& expected, const Bench& start) {
  Judge judge(expected.cause, Phase::tripped);
  Bench b = start;
  force(b, expected.by);
  b.press(Fact::reset_pressed);
  judge.expect((b.phase() == Phase::tripped) == expected.refuses_reset,
               expected.refuses_reset ? "reset although the cause is there" : "refuses a reset");
  judge.expect(b.outputs() == nothing, "energised by a reset: " + text_of(b.outputs()));
  if (!expected.refuses_reset) return judge.complaints;
  judge.expect(b.commands.first_out == Cause::power_up, "a later cause becomes the first-out");
  release(b, expected.by);
  expect_latch_and_reset(judge, b, Cause::power_up);
  return judge.complaints;
}

Complaints judge_inhibit(const InhibitExpectation& expected, Phase phase, const Bench& start) {
  Judge judge(expected.cause, phase);
  Bench b = start;
  const OutputSet before = b.outputs();
  b.force(expected.by.fact, expected.by.value);
  b.scan();
  judge.expect_outputs(b.outputs(), before - expected.withheld, "in the scan of the condition");
  judge.expect(b.commands.first_out == Cause::none, "trips");
  b.release(expected.by.fact);
  if (expected.resumes) {
    judge.expect(b.scan_to(phase, before), "does not resume when the condition ends");
  }
  return judge.complaints;
}

Complaints judge_health(Cause cause, Phase phase, const Bench& start) {
  Judge judge(cause, phase);
  Bench b = start;
  for (unsigned n = 0; n < 10; ++n) {
    b.scan();
    judge.expect(b.phase() == phase, "leaves the phase though all is well");
    judge.expect_outputs(b.outputs(), start.outputs(), "though all is well");
  }
  return judge.complaints;
}

Complaints judge_timeout(Cause cause, Phase phase, const Bench& start, Depth depth) {
  Judge judge(cause, phase);
  Bench b = start;
  const bool of_gate = cause == Cause::gate_not_met_in_time;
  const unsigned limit = preset(of_gate          ? Timer::purge_timeout
                                : hot.has(phase) ? Timer::heating_timeout
                                                 : Timer::cooling_timeout);
  const OutputSet withheld = of_gate ? heat | OutputSet(Output::purge_valve) : heat;
  const OutputSet before = b.outputs();
  const unsigned already = b.phase_for;
  unsigned waited = 0;
  while (b.scan().phase == phase && waited <= limit) {
    judge.expect_outputs(b.outputs(), before, "while it waits");
    ++waited;
  }
  // The phase begins in a scan, the timer in the next. A soak inherits the time of its ramp, a
  // flush that of the cooling before it.
  const unsigned lasted = already + waited;
  const bool inherits = phase == Phase::soak || phase == Phase::flushing;
  judge.expect(inherits ? lasted < limit : lasted == limit + 1,
               "trips " + std::to_string(lasted) + " scans after the phase began");
  expect_trip(judge, b, cause, withheld, depth);
  expect_quiet_while_it_lasts(judge, b, cause, b.outputs() | blanket_after(phase, withheld));
  expect_latch_and_reset(judge, b, cause);
  return judge.complaints;
}

Complaints judge_repurge_limit(Phase phase, const Bench& start, Depth depth) {
  Judge judge(Cause::repurge_limit, phase);
  const Options& options = start.logic.options();
  for (const Fact lost : {Fact::oxygen_above_hold, Fact::gas_supply_ok}) {
    if (lost == Fact::oxygen_above_hold && !options.oxygen_monitor) continue;
    Bench b = start;
    for (unsigned time = 0; time <= options.max_repurges; ++time) {
      const OutputSet before = b.outputs();
      b.force(lost, lost == Fact::oxygen_above_hold);
      b.scan();
      b.release(lost);
      judge.expect_outputs(b.outputs(), before - heat, "in the scan of the loss");
      judge.expect(b.commands.first_out == Cause::none, "trips in the scan of the loss");
      b.scan();
      if (time == options.max_repurges) break;
      judge.expect(b.phase() == Phase::repurging, "does not purge again");
      judge.expect(b.scan_to(phase, before), "does not come back from the re-purge");
    }
    expect_trip(judge, b, Cause::repurge_limit, heat, depth);
    using enum Output;
    judge.expect_outputs(b.outputs(), OutputSet(fan, process_valve), "with the trip");
    expect_quiet_while_it_lasts(judge, b, Cause::repurge_limit, b.outputs());
    expect_latch_and_reset(judge, b, Cause::repurge_limit);
  }
  return judge.complaints;
}

Complaints judge_birth(Cause born) {
  Judge judge(born, Phase::tripped);
  Bench b(full_options, born);
  b.force(Fact::reset_pressed, true);
  b.force(Fact::start_pressed, true);
  for (unsigned n = 0; n < long_after; ++n) {
    b.scan();
    judge.expect(b.outputs() == nothing, "energises " + text_of(b.outputs()));
    judge.expect(b.commands.first_out == born, "is not the first-out");
    judge.expect(b.phase() == Phase::tripped, "does not wait for a reset");
  }
  b.press(Fact::reset_pressed);
  judge.expect(b.phase() == Phase::standby, "a fresh reset does not lead to standby");
  b.scan(long_after);
  judge.expect(b.phase() == Phase::standby && b.outputs() == nothing, "starts by a held button");
  return judge.complaints;
}

Complaints judge_cause(Cause cause, const std::map<Phase, Bench>& stages, Depth depth) {
  Complaints complaints;
  const auto add = [&complaints](Complaints more) {
    complaints.insert(complaints.end(), more.begin(), more.end());
  };
  const Options& options = stages.at(Phase::standby).logic.options();
  if (cause == Cause::power_up || cause == Cause::watchdog_restart) add(judge_birth(cause));

  for (const auto& [phase, bench] : stages) {
    add(judge_health(cause, phase, bench));
    if ((cause == Cause::gate_not_met_in_time && before_gate.has(phase)) ||
        (cause == Cause::heating_not_done_in_time && hot.has(phase)) ||
        (cause == Cause::cooling_not_done_in_time &&
         (phase == Phase::cooling || phase == Phase::flushing))) {
      add(judge_timeout(cause, phase, bench, depth));
    }
    if (cause == Cause::repurge_limit && hot.has(phase)) {
      Bench free = bench;
      free.release(Fact::purge_volumes_reached);
      add(judge_repurge_limit(phase, free, depth));
    }
  }
  for (const TripExpectation& e : trip_expectations()) {
    if (e.cause != cause) continue;
    const bool fitted =
        (options.oxygen_monitor || !e.needs_monitor) && (options.jacket_cooling || !e.needs_jacket);
    for (const auto& [phase, bench] : stages) {
      if (phase == Phase::tripped) {
        if (fitted) add(judge_reset_waits(e, bench));
      } else if (fitted && e.phases.has(phase)) {
        add(judge_trip(e, phase, bench, depth));
      } else {
        add(judge_no_trip(e, phase, bench));
      }
    }
  }
  for (const InhibitExpectation& e : inhibit_expectations()) {
    if (e.cause != cause || (e.needs_monitor && !options.oxygen_monitor) ||
        (e.needs_jacket && !options.jacket_cooling)) {
      continue;
    }
    for (const auto& [phase, bench] : stages) {
      if (e.phases.has(phase)) add(judge_inhibit(e, phase, bench));
    }
  }
  return complaints;
}

}  // namespace ovenproof::logic::test
