#include <fstream>
#include <set>
#include <sstream>
#include <string>

#include <doctest/doctest.h>

#include "sim/hazards/hazards.hpp"
#include "sim/hazards/requirements.hpp"

namespace ovenproof::hazards {
namespace {

std::string document() {
  std::ifstream file(OVENPROOF_HAZARDS_DOCUMENT);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

TEST_CASE("the document lists every default hazard as the program has it") {
  const std::string text = document();
  REQUIRE_FALSE(text.empty());
  for (const Hazard& hazard : default_hazards()) {
    CAPTURE(hazard.id);
    const std::string row = "| `" + hazard.id + "` | " + hazard.title + " | " + hazard.consequence +
                            " | " + hazard.brought_about_by + " | " + hazard.against + " |";
    CHECK(text.find(row) != std::string::npos);
  }
}

TEST_CASE("the document states the condition and the tolerance of every default hazard") {
  const std::string text = document();
  for (const Hazard& hazard : default_hazards()) {
    CAPTURE(hazard.id);
    const std::string tolerance =
        hazard.kind == Kind::lasting ? tolerance_text(hazard.tolerance_ms) : "none";
    const std::string act = hazard.act.empty() ? "none" : "`" + hazard.act + "`";
    CHECK(text.find("| `" + hazard.id + "` | " + act + " | `" + hazard.condition + "` | " +
                    tolerance + " |") != std::string::npos);
  }
}

TEST_CASE("the document names no requirement that is not on the list") {
  std::set<std::string> known;
  for (const Requirement& requirement : requirements()) known.insert(requirement.id);
  const std::string text = document();
  for (std::size_t at = 0; (at = text.find("R-", at)) != std::string::npos;) {
    const std::size_t end = text.find_first_not_of("ABCDEFGHIJKLMNOPQRSTUVWXYZ-", at);
    CAPTURE(text.substr(at, end - at));
    CHECK(known.contains(text.substr(at, end - at)));
    at = end;
  }
}

}  // namespace
}  // namespace ovenproof::hazards
