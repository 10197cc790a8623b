#include <cmath>
#include <cstdint>
#include <cstring>
#include <set>
#include <string>

#include <doctest/doctest.h>
#include <fmt/format.h>

#include "firmware/settings/table.hpp"
#include "sim/machine/given.hpp"
#include "sim/machine/keys.hpp"
#include "sim/machine/load.hpp"
#include "written_machine.hpp"

using namespace ovenproof;
using namespace ovenproof::machine;
using test::must_load;
using test::written;

namespace {

const std::vector<Machine>& demos() {
  static const std::vector<Machine> all = [] {
    std::vector<Machine> machines;
    for (const std::string& file : test::demo_files) machines.push_back(must_load(file));
    // No demo machine needs to accept a hazard; the keys for it are to be tested all the same.
    machines.front().campaign.accepted = {
        {.mode = "Q1.welded", .reason = "for the test", .at = {}}};
    return machines;
  }();
  return all;
}

/// A demo machine that has the part a key belongs to.
const Machine& with_part(Part part) {
  for (const Machine& m : demos()) {
    if (has_part(part, m.settings.options)) return m;
  }
  FAIL("no demo machine has the part");
  return demos().front();
}

std::vector<Error> errors_of(const std::string& text) {
  const Loaded loaded = load_text(text, "oven.yaml");
  const auto* errors = std::get_if<std::vector<Error>>(&loaded);
  return errors == nullptr ? std::vector<Error>{} : *errors;
}

/// Whether the loader refuses `text` for this key for what it is, contradictions aside.
bool refused(const Key& key, const std::string& text) {
  const Machine& m = with_part(key.part);
  const std::string path = full_path(key.path, 0);
  for (const Error& error : errors_of(written(m, {{path, text}}))) {
    if (error.key == path && error.expected.starts_with(accepts_text(key))) return true;
  }
  return false;
}

std::string as_text(const Key& key, double base) {
  if (key.kind == KeyKind::count) return fmt::format("{:.0f}", base);
  return format_exactly(base, key.dimension, key.unit);
}

/// The next value outside: a count by one, a multiple of the resolution, else by a millionth.
double step_of(const Key& key, double at) {
  if (key.kind == KeyKind::count) return 1.0;
  return std::max({key.resolution, std::fabs(at) * 1e-6, 1e-9});
}

bool numeric(const Key& key) { return key.kind == KeyKind::quantity || key.kind == KeyKind::count; }

}  // namespace

TEST_CASE("every key takes its smallest and its largest value and nothing beyond") {
  for (const Key& key : all_keys()) {
    if (!numeric(key)) continue;
    CAPTURE(key.path);
    REQUIRE(key.minimum < key.maximum);
    CHECK_FALSE(refused(key, as_text(key, key.minimum)));
    CHECK_FALSE(refused(key, as_text(key, key.maximum)));
    CHECK(refused(key, as_text(key, key.minimum - step_of(key, key.minimum))));
    CHECK(refused(key, as_text(key, key.maximum + step_of(key, key.maximum))));
  }
}

TEST_CASE("no key takes what is not a number of its unit") {
  for (const Key& key : all_keys()) {
    if (!numeric(key)) continue;
    CAPTURE(key.path);
    const std::string unit(key.dimension == Dimension::number ? "" : key.unit);
    for (const std::string number :
         {"nan", "inf", "-inf", "1e999", "-1e999", "1e300", "twelve", "1.2.3"}) {
      CAPTURE(number);
      CHECK(refused(key, fmt::format("\"{} {}\"", number, unit)));
    }
    CHECK(refused(key, "5 parsec"));
    CHECK(refused(key, ""));
    CHECK(refused(key, "~"));
    CHECK(refused(key, "[1 s]"));
    CHECK(refused(key, "{a: 1 s}"));
    if (key.dimension != Dimension::number && key.dimension != Dimension::ratio) {
      CHECK(refused(key, fmt::format("{}", 1.0)));
    }
  }
}

TEST_CASE("a missing unit is answered with the unit expected") {
  for (const Key& key : all_keys()) {
    if (key.kind != KeyKind::quantity || key.dimension == Dimension::number ||
        key.dimension == Dimension::ratio)
      continue;
    CAPTURE(key.path);
    const std::string path = full_path(key.path, 0);
    bool named = false;
    for (const Error& error : errors_of(written(with_part(key.part), {{path, "7"}}))) {
      if (error.key == path)
        named = error.hint == fmt::format("the unit is missing: 7 {}", key.unit);
    }
    CHECK(named);
  }
}

TEST_CASE("whole numbers and whole milliseconds are demanded where the controller counts so") {
  for (const Key& key : all_keys()) {
    if (!numeric(key) || key.resolution == 0.0) continue;
    CAPTURE(key.path);
    const double between = key.minimum + key.resolution * 0.5;
    CHECK(refused(key,
                  key.kind == KeyKind::count ? fmt::format("{}", between) : as_text(key, between)));
  }
}

TEST_CASE("words and truth values are taken as listed and not otherwise") {
  for (const Key& key : all_keys()) {
    CAPTURE(key.path);
    if (key.kind == KeyKind::choice) {
      for (const std::string_view word : key.choices) CHECK_FALSE(refused(key, std::string(word)));
      CHECK(refused(key, "neither"));
      CHECK(refused(key, "[]"));
    } else if (key.kind == KeyKind::flag) {
      for (const char* const word : {"true", "false"}) CHECK_FALSE(refused(key, word));
      for (const char* const word : {"yes", "1", "True", "\"true\"", "", "[true]"})
        CHECK(refused(key, word));
    }
  }
}

TEST_CASE("names are taken as a list in which each comes once, from a stated few where so stated") {
  for (const Key& key : all_keys()) {
    if (key.kind != KeyKind::names) continue;
    CAPTURE(key.path);
    const std::string word(key.choices.empty() ? "Q1.welded" : key.choices.front());
    CHECK_FALSE(refused(key, "[" + word + "]"));
    CHECK(refused(key, word));
    CHECK(refused(key, "[]"));
    CHECK(refused(key, "{a: b}"));
    std::string many = "[n0";
    for (int i = 1; i <= static_cast<int>(key.maximum); ++i) many += fmt::format(", n{}", i);
    CHECK(refused(key, many + "]"));
    const std::string path = full_path(key.path, 0);
    struct Bad {
      std::string text;
      std::string expected;
    };
    for (const auto& [text, expected] : std::initializer_list<Bad>{
             {"[" + word + ", " + word + "]", "each name once"},
             {"[" + word + ", [" + word + "]]", "a name"},
             {"[" + word + ", \"\"]", key.choices.empty() ? "a name of 1 to 80" : "a list of"},
             {"[" + word + ", \"\\e[31m\"]",
              key.choices.empty() ? "a name of 1 to 80" : "a list of"},
             {"[" + word + ", " + std::string(81, 'x') + "]",
              key.choices.empty() ? "a name of 1 to 80" : "a list of"}}) {
      CAPTURE(text);
      bool told = false;
      for (const Error& error : errors_of(written(demos()[0], {{path, text}}))) {
        told = told || (error.key == path && error.expected.starts_with(expected));
      }
      CHECK(told);
    }
  }
}

TEST_CASE("tags have the form of a tag") {
  for (const Key& key : all_keys()) {
    if (!key.tag) continue;
    CAPTURE(key.path);
    CHECK_FALSE(refused(key, "XYZ-1234567.9-AB"));
    for (const char* const text : {"xv-1", "1XV", "XV 1", "XV-12345678901234", "\"\"", "X\xC3\x84"})
      CHECK(refused(key, text));
  }
}

TEST_CASE("every key says what it is, has a section with a title, and comes once") {
  std::set<std::string> paths;
  for (const Key& key : all_keys()) {
    CAPTURE(key.path);
    CHECK(paths.insert(key.path).second);
    CHECK(find_key(key.path) == &key);
    CHECK_FALSE(key.what.empty());
    if (key.kind != KeyKind::text) CHECK_FALSE(key.source.empty());
    const std::size_t dot = key.path.find('.');
    CHECK(section_title(dot == std::string::npos ? "" : key.path.substr(0, dot)).size() > 0);
    if (key.kind == KeyKind::quantity && key.dimension != Dimension::number) {
      CHECK(find_unit(key.dimension, key.unit) != nullptr);
    }
  }
  CHECK(find_key("no.such_key") == nullptr);
  CHECK_FALSE(is_section(""));
  CHECK_FALSE(is_section("nothing"));
}

TEST_CASE("every unit known is the unit of some key's dimension") {
  std::set<Dimension> used;
  for (const Key& key : all_keys()) used.insert(key.dimension);
  for (int i = 0; i < static_cast<int>(Dimension::count); ++i) {
    CAPTURE(name_of(static_cast<Dimension>(i)));
    CHECK(used.contains(static_cast<Dimension>(i)));
  }
}

TEST_CASE("every default is within its range") {
  const Machine standard = default_machine();
  for (const Key& key : all_keys()) {
    if (!numeric(key) || key.required || !has_value(key, standard)) continue;
    CAPTURE(key.path);
    CHECK(key.get(standard, 0) >= key.minimum);
    CHECK(key.get(standard, 0) <= key.maximum);
  }
}

TEST_CASE("every setting of the controller has a key, but for the length of the list") {
  std::set<std::string> filled;
  for (const Key& key : all_keys()) filled.insert(key.setting);
  for (const settings::Descriptor& setting : settings::table) {
    CAPTURE(setting.key);
    if (setting.key == "programme.segment_count") continue;
    const bool later_segment = setting.key.starts_with("programme.segment_") &&
                               !setting.key.starts_with("programme.segment_1.");
    if (!later_segment) CHECK(filled.contains(std::string(setting.key)));
  }
}

TEST_CASE("storing through a key changes what is read back, in every item of a list") {
  for (const Key& key : all_keys()) {
    if (!key.put) continue;
    CAPTURE(key.path);
    const List* list = list_of(key.path);
    for (std::size_t item = 0; item < (list != nullptr ? list->most : 1); ++item) {
      for (const double value : {key.minimum, key.maximum}) {
        Machine m = default_machine();
        if (list != nullptr) {
          list->resize(m, list->most);
          key.put(m, (item + 1) % list->most, value == key.minimum ? key.maximum : key.minimum);
        }
        key.put(m, item, value);
        CHECK(key.get(m, item) == doctest::Approx(value).epsilon(1e-7));
      }
    }
  }
}

TEST_CASE("the keys fill the plant's parameters whole: no member is left at its default") {
  const Machine standard = default_machine();
  Machine changed = standard;
  for (const Key& key : all_keys()) {
    if (!key.put || !key.fills_plant) continue;
    key.put(changed, 0, key.get(standard, 0) == key.maximum ? key.minimum : key.maximum);
  }
  // Each 8-byte word of the parameters holds one number, or one choice with padding behind it.
  static_assert(sizeof(plant::Parameters) % 8 == 0);
  for (std::size_t at = 0; at < sizeof(plant::Parameters); at += 8) {
    std::uint64_t before = 0;
    std::uint64_t after = 0;
    std::memcpy(&before, reinterpret_cast<const char*>(&standard.plant) + at, 8);
    std::memcpy(&after, reinterpret_cast<const char*>(&changed.plant) + at, 8);
    CAPTURE(at);
    CHECK(before != after);
  }
}

TEST_CASE("a fact that plant and controller share is one value") {
  for (const Machine& m : demos()) {
    CAPTURE(m.name);
    CHECK(m.plant.chamber.volume_m3 * 1000.0 == doctest::Approx(m.settings.purge.chamber_volume_L));
    CHECK(m.plant.supply.purge_L_per_min == m.settings.purge.purge_flow.value);
    CHECK(m.plant.supply.process_L_per_min == m.settings.purge.process_flow.value);
    CHECK(static_cast<int>(m.plant.supply.gas) == static_cast<int>(m.settings.options.gas));
    CHECK(m.plant.cooling.fitted == m.settings.options.jacket_cooling);
    CHECK(static_cast<int>(m.plant.thermocouples.type) ==
          static_cast<int>(m.settings.options.thermocouple_type));
    CHECK(m.plant.oxygen.cell_temperature_degC == m.settings.oxygen.cell_temperature.value);
    CHECK(static_cast<int>(m.plant.oxygen.scale) ==
          static_cast<int>(m.settings.oxygen.transmitter_scale));
    CHECK(m.plant.oxygen.transmitter_low_ppm == m.settings.oxygen.transmitter_low.value);
    CHECK(m.plant.oxygen.transmitter_high_ppm == m.settings.oxygen.transmitter_high.value);
  }
  CHECK(demos()[1].plant.supply.gas == plant::Gas::argon);
  CHECK(demos()[1].plant.thermocouples.type == plant::ThermocoupleType::n);
}

TEST_CASE("a required key that is missing is asked for, on ovens that have its part") {
  for (const Key& key : all_keys()) {
    if (!key.required) continue;
    CAPTURE(key.path);
    const std::string path = full_path(key.path, 0);
    std::string text = written(with_part(key.part), {{path, "MISSING"}});
    const std::size_t at = text.find("MISSING");
    const std::size_t begin = text.rfind('\n', at) + 1;
    if (text.compare(begin, 6, "    - ") == 0) {
      // The item's dash must stay with the next key.
      const std::size_t key_at = begin + 6;
      const std::size_t next = text.find_first_not_of(' ', text.find('\n', at) + 1);
      text.erase(key_at, next - key_at);
    } else if (begin == at) {
      text.erase(begin, text.find('\n', at) + 1 - begin);
    } else {
      text.erase(begin, text.find('\n', at) + 1 - begin);
    }
    bool asked = false;
    for (const Error& error : errors_of(text)) {
      asked = asked ||
              (error.key == path && error.found == "nothing" && error.hint == "the key is missing");
    }
    CHECK(asked);
  }
}

TEST_CASE("a key of a part that the oven lacks is refused, with the option that rules it out") {
  for (const Key& key : all_keys()) {
    if (key.part == Part::every_oven) continue;
    CAPTURE(key.path);
    const Decider by = decider(key.part);
    const Key& option = *find_key(by.key);
    for (const Machine& m : demos()) {
      if (has_part(key.part, m.settings.options)) continue;
      const std::size_t dot = key.path.find('.');
      const std::string section = key.path.substr(0, dot) + ":\n";
      std::string text = written(m);
      const std::string line =
          fmt::format("  {}: {}\n", key.path.substr(dot + 1), value_text(key, default_machine()));
      const std::size_t at = text.find("\n" + section);
      if (at == std::string::npos) {
        text += section + line;
      } else {
        text.insert(at + 1 + section.size(), line);
      }
      const std::vector<Error> errors = errors_of(text);
      REQUIRE(errors.size() == 1);
      CHECK(errors[0].key == key.path);
      CHECK(errors[0].expected == fmt::format("no such key unless {} is {}", by.key, by.must_be));
      REQUIRE(errors[0].related.size() == 1);
      CHECK(errors[0].related[0].key == by.key);
      CHECK(errors[0].related[0].what == value_text(option, m));
      CHECK(errors[0].related[0].at.line > 0);
    }
  }
}
