#include <map>

#include <doctest/doctest.h>

#include "fixture.hpp"
#include "sim/rig/probes.hpp"

using namespace ovenproof;
using Kind = scenario::Start::Kind;
using logic::Phase;

namespace {

const std::vector<scenario::Start> all_starts{
    {Kind::cold, Phase::tripped, 0},        {Kind::warm_monitor, Phase::tripped, 0},
    {Kind::standby, Phase::tripped, 0},     {Kind::in_phase, Phase::purging, 0},
    {Kind::in_phase, Phase::purging, 5000}, {Kind::in_phase, Phase::ramp, 0},
    {Kind::in_phase, Phase::soak, 60'000},  {Kind::in_phase, Phase::cooling, 0},
    {Kind::in_phase, Phase::unloading, 0},  {Kind::in_phase, Phase::unloading, 30'000},
    {Kind::armed, Phase::tripped, 0}};

std::shared_ptr<const scenario::OvenContext> oven() {
  static const auto context = test::cases_of("").front().oven;
  return context;
}

using There = std::map<std::size_t, std::shared_ptr<const scenario::Observed>>;

There reach(const std::vector<scenario::Start>& starts) {
  There there;
  scenario::reach(*oven(), starts, [&](std::size_t i, const scenario::Checkpoint& checkpoint) {
    REQUIRE(std::holds_alternative<std::shared_ptr<const scenario::Observed>>(checkpoint));
    CHECK_FALSE(there.contains(i));
    there[i] = std::get<std::shared_ptr<const scenario::Observed>>(checkpoint);
  });
  return there;
}

std::vector<double> row_of(const rig::Rig& rig) {
  std::vector<double> row(rig::probes().size());
  rig::read_all(rig, row);
  return row;
}

const There& reached_together() {
  static const There there = reach(all_starts);
  return there;
}

double probe(std::size_t start, std::string_view name) {
  return rig::find_probe(name)->read(reached_together().at(start)->rig);
}

}  // namespace

TEST_CASE("Every start is reached, each once") {
  CHECK(reached_together().size() == all_starts.size());
}

TEST_CASE("A copy on the way goes on bit for bit as a run from scratch to there alone") {
  for (std::size_t i = 0; i < all_starts.size(); ++i) {
    CAPTURE(i);
    const There alone = reach({all_starts[i]});
    rig::Rig one = reached_together().at(i)->rig;
    rig::Rig two = alone.at(0)->rig;
    CHECK(one.now_ms() == two.now_ms());
    for (int scan = 0; scan < 1000; ++scan) {
      REQUIRE(row_of(one) == row_of(two));
      one.step();
      two.step();
    }
  }
}

TEST_CASE("A copy leaves its original as it was") {
  const auto& original = *reached_together().at(6);
  const std::vector<double> before = row_of(original.rig);
  scenario::Observed copy = original;
  copy.rig.hands.estop = true;
  for (int scan = 0; scan < 100; ++scan) {
    copy.rig.step();
    copy.observe();
  }
  CHECK(row_of(original.rig) == before);
  CHECK(row_of(copy.rig) != before);
}

TEST_CASE("Each start is what it is called") {
  const auto phase = [](std::size_t i) { return static_cast<Phase>(probe(i, "phase")); };
  CHECK(reached_together().at(0)->rig.now_ms() == 0);
  CHECK(probe(0, "fact.oxygen_valid") == 0.0);
  CHECK(phase(2) == Phase::standby);
  CHECK(probe(2, "fact.oxygen_valid") == 1.0);
  CHECK(probe(2, "fact.door_closed") == 1.0);
  CHECK(phase(3) == Phase::purging);
  CHECK(phase(5) == Phase::ramp);
  CHECK(phase(6) == Phase::soak);
  CHECK(phase(7) == Phase::cooling);
  CHECK(phase(8) == Phase::unloading);
  CHECK(phase(9) == Phase::unloading);
  CHECK(phase(10) == Phase::standby);
  CHECK(probe(10, "armed") == 1.0);
  CHECK(probe(10, "plant.door_opening") == 1.0);
  CHECK(probe(10, "plant.load") == doctest::Approx(20.0).epsilon(0.2));
}

TEST_CASE("A start some time into a phase is that long after it was entered") {
  CHECK(reached_together().at(4)->rig.now_ms() == reached_together().at(3)->rig.now_ms() + 5000);
  CHECK(reached_together().at(9)->rig.now_ms() == reached_together().at(8)->rig.now_ms() + 30'000);
}

TEST_CASE("Nobody's hand is on a button when a case begins") {
  for (const auto& [i, there] : reached_together()) {
    rig::Hands hands = there->rig.hands;
    hands.door_open = false;
    CHECK(hands == rig::Hands{});
  }
}
