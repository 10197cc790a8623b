#include <doctest/doctest.h>

#include "fixture.hpp"
#include "sim/rig/probes.hpp"

using namespace ovenproof;
using namespace ovenproof::campaign;

namespace {

using Row = std::vector<double>;

/// Every probe of the rig from the scan of the last failure on, each so many scans.
std::vector<Row> trace_of(const Campaign& campaign, const Injection& injection,
                          std::uint64_t from_scan, Result& result) {
  const std::vector<Failure> failures = campaign.failures(injection);
  std::vector<Row> rows;
  std::uint64_t seen = 0;
  const std::uint32_t period_ms = campaign.nominal().oven().period_ms;
  result =
      run_branch(campaign.nominal(), Course(campaign.nominal(), *campaign.nominal().at(from_scan)),
                 failures, [&](const Sight& sight) {
                   const std::uint64_t scan = sight.rig.now_ms() / period_ms;
                   if (scan < failures.back().scan || seen++ % 97 != 0) return;
                   Row row(rig::probes().size());
                   rig::read_all(sight.rig, row);
                   rows.push_back(std::move(row));
                 });
  return rows;
}

}  // namespace

TEST_CASE("a branch goes on bit for bit as a run from power-up with the same failure") {
  const Campaign& campaign = test::quick_campaign();
  for (const std::uint64_t number : {test::injection_of(campaign, "TE-1A.drift_up", "1."),
                                     test::injection_of(campaign, "Q1.welded", "1."),
                                     test::injection_of(campaign, "supply.lost", "1.soak")}) {
    const Injection& injection = campaign.plan().injections[number];
    const std::vector<Failure> failures = campaign.failures(injection);
    Result branched;
    Result from_start;
    const auto branch = trace_of(campaign, injection, failures.front().scan, branched);
    const auto whole = trace_of(campaign, injection, 0, from_start);
    CAPTURE(campaign.plan().modes[injection.mode].id);
    CHECK(branch == whole);
    CHECK(branched == from_start);
    CHECK(branch.size() > 100);
  }
}

TEST_CASE("a failure that sleeps changes nothing before the scan that meets it") {
  // Injected at onset, and at the scan that meets it: what the terminals and the controller show
  // is the same until then, and so is what comes of it.
  const Campaign& campaign = test::quick_campaign();
  std::size_t compared = 0;
  for (const std::uint64_t number : test::sample(campaign, 13, 5)) {
    const Injection& injection = campaign.plan().injections[number];
    const std::vector<Failure> failures = campaign.failures(injection);
    const std::uint64_t onset = campaign.plan().instants[injection.instant].scan;
    if (failures.empty() || failures.front().scan == onset) continue;
    // What comes and goes is taken to begin when it is met: else it would be gone by turns then.
    if (failures.front().realisation->onset == Onset::intermittent) continue;
    if (failures.front().scan - onset > 30'000 || ++compared > 5) continue;
    CAPTURE(campaign.plan().modes[injection.mode].id);
    CAPTURE(campaign.plan().instants[injection.instant].id);

    std::vector<Failure> early = failures;
    early.front().scan = onset;
    const std::shared_ptr<const Moment> from = campaign.nominal().at(onset);
    Moment nominal = *from;
    const std::uint32_t period_ms = campaign.nominal().oven().period_ms;
    std::size_t differences = 0;
    const Result result = run_branch(
        campaign.nominal(), Course(campaign.nominal(), *from), early, [&](const Sight& sight) {
          if (sight.rig.now_ms() / period_ms > failures.front().scan) return;
          if (nominal.scan > onset) {
            differences +=
                sight.rig.board().field_outputs() != nominal.rig.board().field_outputs() ||
                phase_of(sight.rig) != phase_of(nominal.rig);
          }
          nominal.step();
        });
    CHECK(differences == 0);
    const Result met = run_injection(campaign, number);
    CHECK(result.outcome == met.outcome);
    CHECK(result.hazards.size() == met.hazards.size());
    CHECK(result.detection.has_value() == met.detection.has_value());
    if (result.detection && met.detection) {
      CHECK(result.detection->first_out == met.detection->first_out);
    }
  }
  CHECK(compared >= 5);
}

TEST_CASE("results do not depend on the number of threads, nor on what else is run") {
  const Campaign& campaign = test::quick_campaign();
  const std::vector<std::uint64_t> numbers = test::sample(campaign, 947, 3);
  const std::vector<Result> one = test::results_of(campaign, numbers, 1);
  const std::vector<Result> two = test::results_of(campaign, numbers, 2);
  CHECK(one.size() == numbers.size());
  CHECK(one == two);
  for (std::size_t i = 0; i < one.size(); i += 2) {
    CHECK(run_injection(campaign, one[i].number) == one[i]);
  }
}

TEST_CASE("a sink that says so stops the campaign") {
  const Campaign& campaign = test::quick_campaign();
  std::size_t seen = 0;
  campaign.run(test::sample(campaign, 101), 2, [&](const Result&) { return ++seen < 3; });
  CHECK(seen >= 3);
  CHECK(seen <= 3 + 2 * 20);  // what shares a branch with the third, and one more on each thread
}

TEST_CASE("gas, oxygen and energy are conserved under every kind of failure") {
  const Campaign& campaign = test::quick_campaign();
  namespace at = plant::at;
  namespace book = plant::book;
  const auto oxygen = [](const plant::State& s) {
    return s.y[at::oxygen_stirred] + s.y[at::oxygen_pockets];
  };
  for (const std::uint64_t number : test::sample(campaign, 947, 29)) {
    const Injection& injection = campaign.plan().injections[number];
    const std::vector<Failure> failures = campaign.failures(injection);
    if (failures.empty()) continue;
    CAPTURE(campaign.plan().modes[injection.mode].id);
    std::optional<plant::State> before;
    double before_J = 0.0;
    double worst_mol = 0.0;
    double worst_J = 0.0;
    double worst_oxygen_mol = 0.0;
    run_branch(
        campaign.nominal(),
        Course(campaign.nominal(), *campaign.nominal().at(failures.front().scan)), failures,
        [&](const Sight& sight) {
          const plant::State& now = sight.rig.plant().state();
          const double now_J = sight.rig.plant().stored_energy_J();
          // A fresh load brings its own heat.
          if (before && !sight.exchanged_load) {
            const auto booked = [&](std::size_t i) { return now.books[i] - before->books[i]; };
            const double in = booked(book::purge_mol) + booked(book::process_mol) +
                              booked(book::blanket_mol) + booked(book::air_in_mol) -
                              booked(book::gas_out_mol);
            const double gas = now.y[at::gas] - before->y[at::gas];
            worst_mol = std::max(worst_mol, std::abs(in - gas));
            const double in_oxygen = booked(book::oxygen_in_mol) - booked(book::oxygen_out_mol);
            worst_oxygen_mol =
                std::max(worst_oxygen_mol, std::abs(in_oxygen - (oxygen(now) - oxygen(*before))));
            const double in_J =
                now.heater_J - before->heater_J + booked(book::fan_J) - booked(book::lost_J);
            worst_J = std::max(worst_J, std::abs(in_J - (now_J - before_J)));
          }
          before = now;
          before_J = sight.exchanged_load ? sight.rig.plant().stored_energy_J() : now_J;
        });
    // Rounding of the stored values: some 7 mol, 1.5 mol and 5e7 J.
    CHECK(worst_mol < 1e-10);
    CHECK(worst_oxygen_mol < 1e-10);
    CHECK(worst_J < 0.05);
  }
}
