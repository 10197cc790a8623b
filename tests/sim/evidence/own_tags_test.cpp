#include <algorithm>
#include <stdexcept>
#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "firmware/logic/matrix.hpp"
#include "sim/evidence/document.hpp"
#include "sim/evidence/sections.hpp"
#include "sim/machine/cause_tags.hpp"
#include "sim/machine/io_list.hpp"

using namespace ovenproof;

namespace {

/// A machine in which every point bears a tag that no standard list has.
machine::Machine renamed(const settings::Options& options) {
  machine::Machine machine;
  machine.settings.options = options;
  for (std::size_t i = 0; i < machine::point_count; ++i)
    machine.tags[i] = "OWN." + std::to_string(i);
  return machine;
}

std::vector<settings::Options> all_options() {
  std::vector<settings::Options> all;
  for (const bool jacket : {false, true}) {
    for (const auto oxygen : {settings::OxygenSensor::none, settings::OxygenSensor::zirconia_cell,
                              settings::OxygenSensor::transmitter}) {
      settings::Options options;
      options.jacket_cooling = jacket;
      options.oxygen_sensor = oxygen;
      all.push_back(options);
    }
  }
  return all;
}

}  // namespace

TEST_CASE("each cause of the matrix is in the table of its devices, and nothing else is") {
  for (const logic::Row& row : logic::matrix) {
    CAPTURE(std::string(row.key));
    CHECK_NOTHROW((void)machine::points_of_cause(row.key));
    for (const std::string_view key : machine::points_of_cause(row.key)) {
      const auto points = machine::all_points();
      CHECK(std::any_of(points.begin(), points.end(),
                        [key](const machine::Point& point) { return point.key == key; }));
    }
    // What a fact about a device decides names that device.
    const bool inside = row.condition.fact == logic::Fact::settings_valid ||
                        row.condition.fact == logic::Fact::clock_jump ||
                        row.condition.fact == logic::Fact::scan_overrun;
    if (row.condition.fact != logic::Fact::count && !inside) {
      CHECK_FALSE(machine::points_of_cause(row.key).empty());
    }
  }
  CHECK_THROWS_AS((void)machine::points_of_cause("no_cause"), std::out_of_range);
}

TEST_CASE("with own tags no standard tag is left in matrix, alarms and commissioning sheet") {
  for (const settings::Options& options : all_options()) {
    const machine::Machine machine = renamed(options);
    evidence::Findings findings;
    findings.machine = machine;
    const auto no_standard_tag = [&](const nlohmann::ordered_json& json, const char* where) {
      CAPTURE(std::string(where));
      std::size_t own = 0;
      const std::string text = json.dump();
      for (std::size_t at = text.find("\"tag\":\""); at != std::string::npos;
           at = text.find("\"tag\":\"", at + 1)) {
        const std::string tags = text.substr(at + 7, text.find('"', at + 7) - at - 7);
        if (!tags.empty()) CHECK(tags.starts_with("OWN."));
        own += tags.empty() ? 0 : 1;
      }
      CHECK(own > 0);
    };
    no_standard_tag(evidence::matrix_section(findings), "matrix");
    no_standard_tag(evidence::alarms_section(machine), "alarms");
    no_standard_tag(evidence::commissioning_section(machine), "commissioning");
  }
}
