#include "firmware/logic/matrix.hpp"

#include <map>

#include <doctest/doctest.h>

#include "findings.hpp"

namespace ovenproof::evidence {
namespace {

using nlohmann::json;

json row_of(const Findings& findings, const char* cause) {
  const json all = made(findings);
  for (const json& row : all["matrix"]["rows"]) {
    if (row["cause"] == cause) return row;
  }
  return {};
}

TEST_CASE("the matrix has every row of the firmware, in its order, with its outputs") {
  const json matrix = made(sound_findings())["matrix"];
  REQUIRE(matrix["rows"].size() == logic::cause_count);
  for (std::size_t i = 0; i < logic::cause_count; ++i) {
    const logic::Row& row = logic::matrix[i];
    const json& shown = matrix["rows"][i];
    CAPTURE(row.key);
    CHECK(shown["cause"] == row.key);
    CHECK((shown["kind"] == "trip") == (row.kind == logic::Kind::trip));
    const auto cells = shown["cells"].get<std::string>();
    for (std::size_t o = 0; o < logic::output_count; ++o) {
      CHECK((cells[o] != '.') == row.withholds.has(static_cast<logic::Output>(o)));
    }
  }
}

TEST_CASE("rows of a part that the machine lacks are there and marked") {
  Findings findings = sound_findings();
  CHECK(row_of(findings, "damper_not_open")["fitted"] == true);
  findings.machine.settings.options.jacket_cooling = false;
  CHECK(row_of(findings, "damper_not_open")["fitted"] == false);
  CHECK(row_of(findings, "damper_not_open")["cells"] == "......--");
  CHECK(row_of(findings, "emergency_stop")["cells"].get<std::string>().ends_with("--"));
}

TEST_CASE("a cell that the exploration saw idle stands behind the sequence, others were seen") {
  Findings findings = sound_findings();
  const auto cause = static_cast<std::size_t>(logic::Cause::fan_not_proven);
  const auto output = static_cast<std::size_t>(logic::Output::k1);
  findings.proof->proof.idle.push_back(
      {prove::PartKind::cell, "fan_not_proven / k1", true, cause, output});
  CHECK(row_of(findings, "fan_not_proven")["cells"] == "BPPP....");
  findings.proof.reset();
  CHECK(row_of(findings, "fan_not_proven")["cells"] == "NNNN....");
}

TEST_CASE("the delay is that of the machine's settings") {
  Findings findings = sound_findings();
  findings.machine.settings.timing.supply_loss.value = 1234;
  CHECK(row_of(findings, "gas_supply_lost")["delay_s"] == 1.234);
  CHECK_FALSE(row_of(findings, "emergency_stop").contains("delay_s"));
}

}  // namespace
}  // namespace ovenproof::evidence
