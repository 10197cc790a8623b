#include <algorithm>
#include <array>
#include <cmath>
#include <random>
#include <string>
#include <variant>
#include <vector>

#include <doctest/doctest.h>

#include "sim/machine/given.hpp"
#include "sim/machine/keys.hpp"
#include "sim/machine/load.hpp"
#include "sim/rig/rig.hpp"

using namespace ovenproof;

/// What `check` accepts the rig must accept, whatever the values are.
namespace {

using machine::Key;
using machine::Machine;

std::vector<Machine> demos() {
  std::vector<Machine> all;
  for (const char* const name : {"bronze_strip_160", "titanium_bracket_90", "coil_anneal_300"}) {
    auto loaded =
        machine::load_file(std::string(SOURCE_DIR) + "/scenarios/machines/" + name + ".yaml");
    REQUIRE(std::holds_alternative<Machine>(loaded));
    all.push_back(std::get<Machine>(std::move(loaded)));
  }
  return all;
}

/// Reproducible on every platform, unlike the library's distributions.
std::size_t below(std::mt19937& random, std::size_t n) { return random() % n; }

/// An end of the key's range, or something between.
double some_value(std::mt19937& random, const Key& key) {
  const std::size_t way = below(random, 4);
  double value = way == 0 ? key.minimum : key.maximum;
  if (way > 1) {
    const double share = static_cast<double>(below(random, 1001)) / 1000.0;
    value = key.minimum + (way == 2 ? share : share * share * share) * (key.maximum - key.minimum);
  }
  if (key.resolution > 0.0) value = std::round(value / key.resolution) * key.resolution;
  return key.kind == machine::KeyKind::quantity ? value : std::round(value);
}

bool may_vary(const Key& key, const Machine& m) {
  return key.put && (key.fills_plant || !key.setting.empty()) &&
         machine::has_part(key.part, m.settings.options) && machine::list_of(key.path) == nullptr;
}

/// Those that decide how quickly parts of the oven relax come as often as all others together.
void vary(std::mt19937& random, Machine& m) {
  static constexpr std::array<std::string_view, 11> quick{"heater.heat_capacity",
                                                          "heater.convection_fan",
                                                          "heater.convection_still",
                                                          "wall.heat_capacity",
                                                          "wall.baffles",
                                                          "wall.convection_fan",
                                                          "load.rack",
                                                          "load.mass",
                                                          "load.convection_fan",
                                                          "load.convection_still",
                                                          "scan.period"};
  for (std::size_t i = 0, n = 1 + below(random, 4); i < n; ++i) {
    const Key* key = below(random, 2) == 0
                         ? machine::find_key(quick[below(random, quick.size())])
                         : &machine::all_keys()[below(random, machine::all_keys().size())];
    if (may_vary(*key, m)) key->put(m, 0, some_value(random, *key));
  }
}

bool finite(const plant::Truth& t) {
  const std::array values{t.element_degC, t.gas_degC,    t.wall_degC, t.load_degC,
                          t.casing_degC,  t.pressure_Pa, t.oxygen,    t.room_oxygen};
  return std::all_of(values.begin(), values.end(), [](double v) { return std::isfinite(v); });
}

}  // namespace

TEST_CASE("a machine that passes the check is accepted by plant and rig, and stays finite") {
  const std::vector<Machine> ovens = demos();
  std::mt19937 random(20'260'331);
  int accepted = 0;
  int too_quick = 0;
  for (int i = 0; i < 4000; ++i) {
    Machine m = ovens[below(random, ovens.size())];
    vary(random, m);
    const auto errors = machine::contradictions(m, {}, "oven.yaml");
    const bool quick = std::any_of(errors.begin(), errors.end(), [](const machine::Error& each) {
      return each.expected.find("too quick to be simulated") != std::string::npos;
    });
    const rig::Oven oven{m.plant, m.settings, {}, {}};
    if (quick) {
      ++too_quick;
      CHECK_THROWS_AS(rig::Rig{oven}, std::invalid_argument);
    }
    if (!errors.empty()) continue;
    ++accepted;
    CAPTURE(i);
    REQUIRE_NOTHROW(rig::Rig{oven});
    rig::Rig rig(oven);
    plant::Plant bare(m.plant, {}, {}, {.scan_s = m.settings.scan.period.value / 1000.0});
    const plant::Actuation all{.k1 = true,
                               .k2 = true,
                               .heater_drive = 1.0,
                               .fan = (i & 1) != 0,
                               .purge_valve = true,
                               .process_valve = true,
                               .damper_open = true,
                               .blower = true};
    for (int scan = 0; scan < 200; ++scan) {
      rig.step();
      bare.step(all, {}, {});
    }
    CHECK(finite(rig.truth()));
    CHECK(finite(bare.truth()));
  }
  CHECK(accepted > 400);
  CHECK(too_quick > 20);
}
