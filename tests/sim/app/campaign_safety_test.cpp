#include "sim/app/campaign_safety.hpp"

#include <span>
#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "sim/campaign/result.hpp"

using namespace ovenproof;
using namespace ovenproof::app;

TEST_CASE("failure modes of a safety function are called as outcomes of a campaign are") {
  safety::Function stated;
  stated.name = "heat off";
  campaign::SafetyFunction function;
  function.stated = &stated;
  function.fates.fill(1);
  function.estimate.pfd_average = 1.25e-3;
  const std::string text = safety_report(std::span(&function, 1), Style());
  CAPTURE(text);
  for (const std::string_view outcome : campaign::outcome_names) {
    CAPTURE(outcome);
    CHECK(text.find(outcome) != std::string::npos);
  }
  CHECK(text.find("undetected") == std::string::npos);
  CHECK(text.find("PFDavg         1.25e-03 by IEC 61508-6") != std::string::npos);
}

TEST_CASE("a safety function that is too slow says NOT MET before its figures") {
  safety::Function stated;
  stated.name = "heat off";
  stated.required = safety::Level::c;
  stated.process_safety_time_s = 2.0;
  campaign::SafetyFunction function;
  function.stated = &stated;
  function.fault = campaign::Reaction{303'000, 1807};
  function.estimate.pfhd_per_h = 1e-8;
  function.estimate.level = safety::Level::e;
  const auto report = [&] { return safety_report(std::span(&function, 1), Style()); };
  CAPTURE(report());
  const std::size_t verdict =
      report().find("NOT MET        slowest notice 5.05 min (#1807), 2 s allowed");
  REQUIRE(verdict != std::string::npos);
  CHECK(verdict < report().find("performance level"));
  CHECK(safety_json(std::span(&function, 1))[0]["verdict"] == "not met");

  function.fault->ms = 2'000;
  CHECK(report().find("NOT MET") == std::string::npos);
  CHECK(safety_json(std::span(&function, 1))[0]["verdict"] == "met");

  function.fates[static_cast<std::size_t>(safety::ModeFate::not_tried)] = 1;
  CHECK(report().find("1 not tried") != std::string::npos);
  CHECK(report().find("notice         not computed") != std::string::npos);
  CHECK(safety_json(std::span(&function, 1))[0]["verdict"] == "not judged");
}
