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
