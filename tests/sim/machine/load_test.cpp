#include "sim/machine/load.hpp"

#include <algorithm>
#include <string>

#include <doctest/doctest.h>

#include "firmware/settings/validate.hpp"
#include "property.hpp"
#include "sim/machine/keys.hpp"
#include "written_machine.hpp"

using namespace ovenproof;
using namespace ovenproof::machine;
using test::demo_files;
using test::must_load;

namespace {

bool same(const Machine& a, const Machine& b) {
  if (a.settings != b.settings) return false;
  for (const Key& key : all_keys()) {
    const List* list = list_of(key.path);
    if (list != nullptr && list->size(a) != list->size(b)) return false;
    for (std::size_t i = 0; i < (list == nullptr ? 1 : list->size(a)); ++i) {
      if (has_value(key, a, i) != has_value(key, b, i)) return false;
      if (!has_value(key, a, i)) continue;
      if (key.get && key.get(a, i) != key.get(b, i)) return false;
      if (key.get_texts && key.get_texts(a, i) != key.get_texts(b, i)) return false;
    }
  }
  return true;
}

std::vector<Error> errors_of(const std::string& text) {
  const Loaded loaded = load_text(text, "oven.yaml");
  REQUIRE(std::holds_alternative<std::vector<Error>>(loaded));
  return std::get<std::vector<Error>>(loaded);
}

std::string replaced(std::string text, const std::string& what, const std::string& by) {
  const std::size_t at = text.find(what);
  REQUIRE(at != std::string::npos);
  return text.replace(at, what.size(), by);
}

}  // namespace

TEST_CASE("the demo machines load, say that they are invented, and the controller accepts them") {
  for (const std::string& file : demo_files) {
    CAPTURE(file);
    const Machine m = must_load(file);
    CHECK(m.path == file);
    CHECK(m.description.find("Invented for demonstration") != std::string::npos);
    CHECK(test::contents(file).find("# Invented for demonstration") != std::string::npos);
    CHECK(settings::validate(m.settings).empty());
  }
}

TEST_CASE("each option is there in both or all of its ways among the demo machines") {
  const settings::Options a = must_load(demo_files[0]).settings.options;
  const settings::Options b = must_load(demo_files[1]).settings.options;
  const settings::Options c = must_load(demo_files[2]).settings.options;
  CHECK(a.gas != b.gas);
  CHECK((a.oxygen_sensor != b.oxygen_sensor && b.oxygen_sensor != c.oxygen_sensor &&
         a.oxygen_sensor != c.oxygen_sensor));
  CHECK(a.jacket_cooling != b.jacket_cooling);
  CHECK(a.start_by_door != b.start_by_door);
  CHECK(a.door_contacts != b.door_contacts);
  CHECK(a.thermocouples != b.thermocouples);
  CHECK(a.thermocouple_type != b.thermocouple_type);
  CHECK(must_load(demo_files[0]).plant.exhaust.ducted !=
        must_load(demo_files[1]).plant.exhaust.ducted);
  CHECK(must_load(demo_files[2]).settings.programme.segment_count > 1);
}

TEST_CASE("a value stands where the file puts it") {
  const Machine m = must_load(demo_files[2]);
  CHECK(m.name == "Coil annealing oven, 300 L");
  CHECK(m.load == "bare copper coils, on a trolley");
  CHECK(m.plant.chamber.volume_m3 == 0.3);
  CHECK(m.settings.purge.chamber_volume_L == 300.0F);
  CHECK(m.plant.heater.power_W == 18'000.0);
  CHECK(m.plant.cooling.airflow_L_per_s == 200.0);
  CHECK(m.plant.load.rack_J_per_K == 6000.0);
  CHECK(m.plant.load.inside_fraction == 0.6);
  CHECK(m.plant.tightness.air_ingress_L_per_min == 0.004);
  CHECK(m.plant.limiter.set_point_degC == 400.0);
  CHECK(m.settings.temperature.high_limit == Celsius{385.0F});
  CHECK(m.settings.programme.segment_count == 3);
  CHECK(m.settings.programme.segments[1].target == Celsius{250.0F});
  CHECK(m.settings.programme.segments[2].ramp_K_per_min == 3.0F);
  CHECK(m.settings.programme.segments[2].soak == Milliseconds{3'600'000});
  CHECK(m.settings.programme.heating_timeout == Milliseconds{7 * 3'600'000});
  const Machine titanium = must_load(demo_files[1]);
  CHECK(titanium.plant.oxygen.transmitter_high_ppm == 250'000.0);
  CHECK(std::count(titanium.tags.begin(), titanium.tags.end(), "AT-101") == 1);
}

TEST_CASE("a machine written with every key stated reads back the same") {
  for (const std::string& file : demo_files) {
    CAPTURE(file);
    const Machine m = must_load(file);
    const std::string text = test::written(m);
    const Loaded again = load_text(text, "again.yaml");
    if (const auto* errors = std::get_if<std::vector<Error>>(&again)) {
      for (const Error& error : *errors) FAIL_CHECK(to_text(error));
    } else {
      CHECK(same(m, std::get<Machine>(again)));
    }
  }
}

TEST_CASE("any value within a range reads back as the controller and the plant hold it") {
  const Machine base = must_load(demo_files[0]);
  test::check_property(
      20'260'030,
      [&] {
        Machine m = base;
        const Key& key = all_keys()[*rc::gen::inRange<std::size_t>(0, all_keys().size())];
        if (key.kind != KeyKind::quantity || !has_part(key.part, m.settings.options)) return;
        const double share = *rc::gen::inRange(0, 1001) / 1000.0;
        key.put(m, 0, key.minimum + (key.maximum - key.minimum) * share);
        const Loaded loaded = load_text(test::written(m), "oven.yaml");
        if (const auto* again = std::get_if<Machine>(&loaded)) {
          RC_ASSERT(same(m, *again));
        } else {
          // Only a contradiction may stand in the way, and it names another key beside; but for the
          // scan, which contradicts the simulated oven.
          for (const Error& error : std::get<std::vector<Error>>(loaded))
            RC_ASSERT(!error.related.empty() || error.key == "scan.period");
        }
      },
      300);
}

TEST_CASE("ten different mistakes in one file are ten errors, in the order of the file") {
  std::string text = test::contents(demo_files[0]);
  const auto change = [&](const std::string& what, const std::string& by) {
    text = replaced(text, what, by);
  };
  change("gas: nitrogen", "gas: helium");
  change("door_contacts: 2", "door_contacts: 3");
  change("chamber_volume: 160 L", "chamber_volume: 160");
  change("purge_flow: 100 L/min", "purge_flw: 100 L/min");
  change("process_flow: 20 L/min", "process_flow: 20 kg");
  change("gate_hold: 30 s", "gate_hold: nan s");
  change("soak: 45 min", "soak: [45 min]");
  change("high_limit: 580 degC", "high_limit: 9999 degC");
  change("  mass: 40 kg\n", "  mass: 40 kg\n  mass: 50 kg\n");
  change("ducted: false", "ducted: perhaps");
  const std::vector<Error> errors = errors_of(text);
  std::vector<std::string> keys;
  for (const Error& error : errors) keys.push_back(error.key);
  const std::vector<std::string> expected{"options.gas",
                                          "options.door_contacts",
                                          "purge.purge_flow",
                                          "purge.chamber_volume",
                                          "purge.purge_flw",
                                          "purge.process_flow",
                                          "purge.gate_hold",
                                          "programme.segments[1].soak",
                                          "temperature.high_limit",
                                          "load.mass",
                                          "exhaust.ducted"};
  // The misspelt key is one mistake that shows twice: it is unknown, and what it meant is missing.
  CHECK(keys == expected);
  for (const Error& error : errors) {
    CHECK(error.file == "oven.yaml");
    CHECK(error.at.line > 0);
    CHECK(error.at.column > 0);
    CHECK_FALSE(error.expected.empty());
    CHECK_FALSE(error.found.empty());
  }
}

TEST_CASE("a misspelt key is answered with the key that was meant") {
  const std::string good = test::contents(demo_files[0]);
  const auto hint_for = [&](const std::string& what, const std::string& by,
                            const std::string& key) {
    for (const Error& error : errors_of(replaced(good, what, by))) {
      if (error.key == key) return error.hint;
    }
    return std::string("no such error");
  };
  CHECK(hint_for("purge_flow:", "purge_flwo:", "purge.purge_flwo") == "did you mean purge_flow?");
  CHECK(hint_for("heater:\n", "haeter:\n", "haeter") == "did you mean heater?");
  CHECK(hint_for("    - target:", "    - taget:", "programme.segments[1].taget") ==
        "did you mean target?");
  CHECK(hint_for("  mass: 40 kg", "  oxygen_sensor: none", "load.oxygen_sensor") ==
        "did you mean options.oxygen_sensor?");
  CHECK(hint_for("  mass: 40 kg", "  quux: 40 kg", "load.quux").empty());
  CHECK(hint_for("gas: nitrogen", "gas: nitrogn", "options.gas") == "did you mean nitrogen?");
}

TEST_CASE("what could not be read contradicts nothing") {
  const std::string good = test::contents(demo_files[0]);
  // Each of these keys takes part in contradictions with the values of this file if it counts as
  // its default.
  for (const char* const line :
       {"high_limit: 580 degC", "set_point: 600 degC", "process_flow: 20 L/min", "gate: 100 ppm",
        "hold_limit: 500 ppm", "power: 12 kW", "target: 550 degC", "chamber_volume: 160 L",
        "max_temperature: 620 degC", "timeout: 40 min"}) {
    CAPTURE(line);
    const std::string key = std::string(line).substr(0, std::string(line).find(':'));
    CHECK(errors_of(replaced(good, line, key + ": ?!")).size() == 1);
  }
}

TEST_CASE("the parts' standard tags differ from each other on every oven") {
  for (const std::string& file : demo_files) {
    const Machine m = must_load(file);
    std::vector<std::string> tags;
    for (std::size_t i = 0; i < point_count; ++i) {
      if (has_part(all_points()[i].part, m.settings.options)) tags.push_back(standard_tags()[i]);
    }
    std::sort(tags.begin(), tags.end());
    CHECK(std::adjacent_find(tags.begin(), tags.end()) == tags.end());
    for (const std::string& tag : tags) CHECK(is_tag(tag));
  }
}

TEST_CASE("the letters of standard tags are those of ISA-5.1, of contactors that of IEC 81346-2") {
  for (const Point& point : all_points()) {
    CAPTURE(point.key);
    const std::string_view tag = point.standard_tag;
    const std::string_view letters = tag.substr(0, tag.find_first_of("-0123456789"));
    const bool contactor =
        point.what.find("contactor") != std::string_view::npos && point.signal == Signal::coil_out;
    CHECK((letters == "Q") == contactor);
    CHECK((point.tag_source.find("IEC 81346-2") != std::string_view::npos) == contactor);
    CHECK((point.tag_source.find("ISA-5.1") != std::string_view::npos) != contactor);
    if (point.signal == Signal::analog_in) {  // an element gives mV or ohm, a transmitter mA
      CHECK(letters.substr(1) == (point.electrical == "4-20 mA" ? "T" : "E"));
      CHECK((letters[0] == 'A') == (point.what.substr(0, 7) == "oxygen,"));
    }
    if (point.what.find("flow proven") != std::string_view::npos) CHECK(letters == "FS");
  }
}

TEST_CASE("the I/O list holds every point of the board once, in the board's order") {
  std::size_t contacts = 0;
  std::size_t analogs = 0;
  std::size_t coils = 0;
  for (const Point& point : all_points()) {
    if (point.signal == Signal::contact_in) CHECK(point.index == contacts++);
    if (point.signal == Signal::analog_in) CHECK(point.index == analogs++);
    if (point.signal == Signal::coil_out) CHECK(point.index == coils++);
  }
  CHECK(contacts == hal::digital_in_count);
  CHECK(analogs == hal::analog_in_count);
  CHECK(coils == hal::digital_out_count);
}

TEST_CASE("the options decide which points are fitted") {
  const auto fitted = [](const Machine& m, std::string_view key) {
    for (const Point& point : all_points()) {
      if (point.key == key) return has_part(point.part, m.settings.options);
    }
    FAIL("no point " << std::string(key));
    return false;
  };
  const Machine bronze = must_load(demo_files[0]);
  const Machine titanium = must_load(demo_files[1]);
  const Machine coil = must_load(demo_files[2]);
  for (const char* const key : {"door_closed_2", "damper_open", "damper_closed", "blower_running",
                                "te_b", "oxygen_cell", "oxygen_cell_tc", "damper", "blower"}) {
    CAPTURE(key);
    CHECK(fitted(bronze, key));
    CHECK_FALSE(fitted(titanium, key));
  }
  CHECK(fitted(titanium, "oxygen_loop"));
  CHECK_FALSE(fitted(bronze, "oxygen_loop"));
  CHECK_FALSE(fitted(coil, "oxygen_loop"));
  CHECK_FALSE(fitted(coil, "oxygen_cell"));
  CHECK_FALSE(fitted(coil, "door_closed_2"));
  CHECK(fitted(coil, "damper"));
  for (const char* const key :
       {"door_closed_1", "start_button", "estop_healthy", "k1", "heater_drive"}) {
    CHECK(fitted(titanium, key));
  }
}
