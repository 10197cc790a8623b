#include "sim/machine/sign_off.hpp"

#include <string>

#include <doctest/doctest.h>

#include "sim/machine/load.hpp"
#include "sim/machine/warnings.hpp"
#include "written_machine.hpp"

using namespace ovenproof;
using namespace ovenproof::machine;

namespace {

std::string replaced(std::string text, const std::string& what, const std::string& by) {
  const std::size_t at = text.find(what);
  REQUIRE(at != std::string::npos);
  return text.replace(at, what.size(), by);
}

Machine must_read(const std::string& text) {
  const Loaded loaded = load_text(text, "oven.yaml");
  if (const auto* errors = std::get_if<std::vector<Error>>(&loaded)) {
    for (const Error& error : *errors) FAIL_CHECK(to_text(error));
    FAIL("must be good");
  }
  return std::get<Machine>(loaded);
}

/// The fault of a file, as text.
std::string fault_of(const std::string& text) {
  const auto fault = sign_off_fault(must_read(text));
  return fault ? to_text(*fault) : "";
}

const std::string& bronze() {
  static const std::string text = test::contents(test::demo_files[0]);
  return text;
}

/// The file without its sign-off, which stands at its end.
std::string unsigned_bronze() { return bronze().substr(0, bronze().find("\nsign_off:") + 1); }

}  // namespace

TEST_CASE("the demo machines are signed for, by somebody invented") {
  for (const std::string& file : test::demo_files) {
    const Machine machine = test::must_load(file);
    CAPTURE(file);
    CAPTURE(sign_off_digest(machine));  // to sign again: ovenproof check --digest FILE
    CHECK(needs_sign_off(machine));
    CHECK_FALSE(sign_off_fault(machine));
    CHECK(machine.sign_off.by.find("invented") != std::string::npos);
  }
}

TEST_CASE("a copy under another name is not signed for") {
  const std::string copy = replaced(bronze(), "name: Bronze strip oven, 160 L", "name: Our oven");
  const std::string fault = fault_of(copy);
  CAPTURE(fault);
  CHECK(fault.find("sign_off.machine: expected the name of this machine, \"Our oven\", found "
                   "\"Bronze strip oven, 160 L\"") != std::string::npos);
  CHECK(fault.find("check --digest") != std::string::npos);
  CHECK(fault.rfind("oven.yaml:", 0) == 0);
  CHECK(fault.find(":0:") == std::string::npos);
}

TEST_CASE("a sign-off whose name was changed with the copy's does not count either") {
  std::string copy = replaced(bronze(), "name: Bronze strip oven, 160 L", "name: Our oven");
  copy = replaced(copy, "machine: Bronze strip oven, 160 L", "machine: Our oven");
  CHECK(fault_of(copy).find("sign_off.digest: expected ") != std::string::npos);
}

TEST_CASE("any change of the oven, its settings or what is accepted ends the sign-off") {
  const std::vector<std::pair<std::string, std::string>> changes{
      {"power: 12 kW", "power: 12.1 kW"},
      {"gate_hold: 30 s", "gate_hold: 31 s"},
      {"source: invented\n      b10d: 2000000", "source: invented\n      b10d: 2000001"},
      {"- mode: supply.lost", "- mode: fan.stopped"},
      {"invented: dust in the valve", "invented: dirt in the valve"},
      {"out of reach behind a", "out of sight behind a"},
      {"ducted: false", "ducted: true"},
      {"gas: nitrogen", "gas: argon"},
      {"max_temperature: 620 degC", "max_temperature: 621 degC"}};
  for (const auto& change : changes) {
    CAPTURE(change.first);
    CHECK(fault_of(replaced(bronze(), change.first, change.second))
              .find("sign_off.digest: expected") != std::string::npos);
  }
}

TEST_CASE("comments, order and the unit in which a value is written do not end it") {
  CHECK(fault_of(replaced(bronze(), "power: 12 kW", "power: 12000 W # checked")).empty());
  CHECK(fault_of(replaced(bronze(), "chamber_volume: 160 L", "chamber_volume: 0.16 m3")).empty());
  CHECK(fault_of(replaced(bronze(), "gate: 100 ppm", "gate: 0.01 %")).empty());
  CHECK(fault_of(replaced(bronze(), "heating_timeout: 4 h", "heating_timeout: 240 min")).empty());
  CHECK(fault_of(replaced(bronze(), "  purge_flow: 100 L/min\n  process_flow: 20 L/min\n",
                          "  process_flow: 20 L/min\n  purge_flow: 100 L/min\n"))
            .empty());
  // A default that is stated is the same oven.
  CHECK(fault_of(replaced(bronze(), "door_contacts: 2", "door_contacts: 2 # two")).empty());
}

TEST_CASE("without a sign-off the first statement that needs one is named") {
  const std::string fault = fault_of(unsigned_bronze());
  CAPTURE(fault);
  CHECK(fault.find("safety.components: expected a sign-off for this machine (sign_off), found "
                   "none") != std::string::npos);
  const auto warnings = warnings_in_text(unsigned_bronze(), "oven.yaml");
  REQUIRE(warnings.size() == 1);
  CHECK(to_text(warnings[0]) == fault);
}

TEST_CASE("an incomplete sign-off does not count, and says what it lacks") {
  const std::string text = bronze();
  const std::size_t at = text.find("  date: ", text.find("\nsign_off:"));
  std::string without = text;
  without.erase(at, text.find('\n', at) + 1 - at);
  CHECK(fault_of(without).find("sign_off.date: expected a day such as 2026-03-31, found nothing") !=
        std::string::npos);
}

TEST_CASE("a machine that accepts, excludes and states nothing needs no sign-off") {
  const std::string text = unsigned_bronze();
  const Machine plain = must_read(text.substr(0, text.find("# Every figure below is invented")));
  CHECK_FALSE(needs_sign_off(plain));
  CHECK_FALSE(sign_off_fault(plain));
}

TEST_CASE("the printed lines sign the machine once a person has filled them in") {
  const std::string changed = replaced(unsigned_bronze(), "power: 12 kW", "power: 13 kW");
  std::string lines = sign_off_text(must_read(changed));
  CHECK(std::holds_alternative<std::vector<Error>>(load_text(changed + lines, "oven.yaml")));
  lines = replaced(lines, "by: # your name", "by: A. Person");
  lines = replaced(lines, "date: # today, such as 2026-03-31", "date: 2026-02-28");
  CHECK(fault_of(changed + lines).empty());
}

TEST_CASE("the name of a machine may hold what YAML minds") {
  Machine machine = must_read(unsigned_bronze());
  machine.name = "Oven \"7\", C:\\new # hall 2";
  const std::string lines = replaced(sign_off_text(machine), "by: #", "by: X #");
  const std::string text = replaced(unsigned_bronze(), "name: Bronze strip oven, 160 L",
                                    "name: 'Oven \"7\", C:\\new # hall 2'") +
                           replaced(lines, "date: #", "date: 2026-02-28 #");
  CHECK(fault_of(text).empty());
}

TEST_CASE("a date is a day of the calendar, a digest 32 hexadecimal digits") {
  const std::string text = bronze();
  const std::size_t at = text.find("  date: ", text.find("\nsign_off:"));
  const std::string date = text.substr(at, text.find('\n', at) - at);
  for (const char* const bad : {"2026-02-29", "2026-13-01", "26-03-31", "2026-3-31", "31.03.2026",
                                "2026-00-10", "2026-01-00", "today"}) {
    CAPTURE(bad);
    const Loaded loaded = load_text(replaced(text, date, std::string("  date: ") + bad), "x.yaml");
    REQUIRE(std::holds_alternative<std::vector<Error>>(loaded));
    CHECK(to_text(std::get<std::vector<Error>>(loaded)[0]).find("a day such as 2026-03-31") !=
          std::string::npos);
  }
  CHECK(fault_of(replaced(text, date, "  date: 2024-02-29")).empty());
  const Loaded loaded = load_text(replaced(text, "digest: ", "digest: G"), "x.yaml");
  REQUIRE(std::holds_alternative<std::vector<Error>>(loaded));
  CHECK(to_text(std::get<std::vector<Error>>(loaded)[0]).find("32 hexadecimal digits") !=
        std::string::npos);
}
