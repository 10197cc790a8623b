/// What must hold of any sensible oven, over random variations of a demo machine. Formulas alone,
/// for thousands of ovens; the demo machines are simulated elsewhere.
#include "property.hpp"

#include <cmath>
#include <initializer_list>

#include "demo.hpp"
#include "sim/machine/keys.hpp"

using namespace ovenproof;
using namespace ovenproof::sizing;
using namespace ovenproof::sizing::testing;

namespace {

machine::Machine bronze() {
  static const machine::Machine known = demo("bronze_strip_160");
  return known;
}

/// Larger than 1, up to `most`.
double factor(double most) { return 1.01 + *rc::gen::inRange(0, 1000) / 1000.0 * (most - 1.01); }

/// Between the two, evenly.
double between(double low, double high) {
  return low + *rc::gen::inRange(0, 10'001) / 10'000.0 * (high - low);
}

machine::Machine varied() {
  machine::Machine m = bronze();
  m.plant.blanket = {};  // whose sweep alone may hold any level
  m.plant.chamber.volume_m3 = between(0.05, 0.5);
  m.settings.purge.chamber_volume_L = static_cast<float>(m.plant.chamber.volume_m3 * 1000.0);
  m.plant.supply.purge_L_per_min = between(50.0, 200.0);
  m.plant.supply.process_L_per_min = between(5.0, 40.0);
  m.plant.tightness.air_ingress_L_per_min = between(0.0005, 0.01);
  m.plant.load.mass_kg = between(5.0, 80.0);
  m.plant.cooling.airflow_L_per_s = between(40.0, 300.0);
  m.plant.room.air_changes_per_h = between(1.0, 20.0);
  return m;
}

/// What never occurs counts as above all.
double predicted(const Sizing& sizing, std::string_view id) {
  return figure(sizing, id).predicted.value_or(INFINITY);
}

struct Move {
  std::string_view id;
  bool up;
};

/// Items of such lists can only be put where the machine file has them.
bool of_a_list_it_may_lack(const machine::Key& key) {
  return key.path.starts_with("campaign.") || key.path.starts_with("safety.");
}

/// The figures rise or fall when the change is made.
template <class Change>
void moves(Change change, std::initializer_list<Move> expected) {
  const machine::Machine before = varied();
  machine::Machine after = before;
  change(after);
  const Sizing first = size(before, formulas_alone());
  const Sizing second = size(after, formulas_alone());
  for (const Move& each : expected) {
    const double a = predicted(first, each.id);
    const double b = predicted(second, each.id);
    if (std::isinf(a) && std::isinf(b)) continue;
    RC_LOG() << each.id << ": " << a << " then " << b << '\n';
    RC_ASSERT((each.up ? b > a : b < a));
  }
}

}  // namespace

TEST_CASE("more purge flow gates sooner and holds a lower floor, and drains cylinders faster") {
  test::check_property(11, [] {
    const auto more = [](machine::Machine& m) { m.plant.supply.purge_L_per_min *= factor(3.0); };
    moves(more, {{"gate_time", false},
                 {"floor_purge", false},
                 {"supply_purge", false},
                 {"exhaust_purge", true},
                 {"room_steady", false},
                 {"room_warning_still", false}});
  });
}

TEST_CASE("a larger chamber takes longer to gate, and more gas") {
  test::check_property(12, [] {
    const auto more = [](machine::Machine& m) {
      const double by = factor(3.0);
      m.plant.chamber.volume_m3 *= by;
      m.settings.purge.chamber_volume_L *= static_cast<float>(by);
    };
    moves(more,
          {{"gate_time", true}, {"purge_time", true}, {"gas_cycle", true}, {"make_up_flow", true}});
  });
}

TEST_CASE("a larger leak lifts floors, purge and the flow that holds") {
  test::check_property(13, [] {
    const auto more = [](machine::Machine& m) {
      m.plant.tightness.air_ingress_L_per_min *= factor(5.0);
    };
    moves(more, {{"floor_purge", true},
                 {"floor_process", true},
                 {"gate_volumes", true},
                 {"holding_flow", true}});
  });
}

TEST_CASE("more load heats with more energy and cools slower, more air cools quicker") {
  test::check_property(14, [] {
    const auto load = [](machine::Machine& m) { m.plant.load.mass_kg *= factor(3.0); };
    moves(load, {{"energy_cycle", true}, {"cool_jacket", true}, {"heat_up_power", true}});
    const auto air = [](machine::Machine& m) {
      const double by = factor(3.0);
      m.plant.cooling.airflow_L_per_s *= by;
      m.plant.cooling.ua_W_per_K *= by;
    };
    moves(air, {{"cool_jacket", false}, {"make_up_flow", true}, {"jacket_power", true}});
  });
}

TEST_CASE("more ventilation keeps the room better, and the warning level comes later or never") {
  test::check_property(15, [] {
    const auto more = [](machine::Machine& m) { m.plant.room.air_changes_per_h *= factor(3.0); };
    moves(more, {{"room_steady", true}, {"room_warning", true}, {"room_cycle", true}});
  });
}

TEST_CASE("a stricter margin asks for more flow, a larger cylinder lasts in proportion") {
  test::check_property(16, [] {
    const machine::Machine m = varied();
    Options strict = formulas_alone();
    strict.margin *= factor(2.0);
    const Sizing usual = size(m, formulas_alone());
    const double more = predicted(size(m, strict), "holding_flow");
    RC_ASSERT(std::isinf(more) || more > predicted(usual, "holding_flow"));
    Options twice = formulas_alone();
    twice.cylinder.count = 2;
    const Sizing doubled = size(m, twice);
    for (const char* const id : {"supply_purge", "supply_process"}) {
      RC_ASSERT(std::fabs(predicted(doubled, id) / predicted(usual, id) - 2.0) < 1e-12);
    }
  });
}

TEST_CASE("a machine with every key at either end of its range gives finite figures or none") {
  for (const char* const name : demo_names) {
    for (const bool largest : {true, false}) {
      CAPTURE(name);
      CAPTURE(largest);
      machine::Machine m = demo(name);
      for (const machine::Key& key : machine::all_keys()) {
        if (key.put && !key.path.starts_with("options.") && !of_a_list_it_may_lack(key)) {
          key.put(m, 0, largest ? key.maximum : key.minimum);
        }
      }
      const Sizing sizing = size(m, formulas_alone());
      CHECK(sizing.figures.size() > 25);
      for (const Figure& each : sizing.figures) {
        CAPTURE(std::string(each.id));
        if (each.predicted) CHECK(std::isfinite(*each.predicted));
        if (!each.predicted) CHECK_FALSE(each.no_prediction.empty());
      }
      for (const Curve& curve : sizing.curves) {
        for (const Point& each : curve.predicted) {
          CHECK(std::isfinite(each.s));
          CHECK(std::isfinite(each.value));
        }
      }
    }
  }
}
