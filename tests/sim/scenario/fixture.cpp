#include "fixture.hpp"

#include <algorithm>
#include <array>
#include <cstdio>
#include <stdexcept>
#include <sys/wait.h>
#include <unistd.h>

#include <doctest/doctest.h>

#include "sim/rig/probes.hpp"

namespace ovenproof::test {

namespace fs = std::filesystem;

std::string head() {
  return "shows: a test\n"
         "machine: ../machines/bronze_strip_160.yaml\n"
         "override:\n"
         "  programme: {segments: [{target: 120 degC, ramp: 10 K/min, soak: 5 min}]}\n";
}

namespace {

scenario::Read read(const std::string& text) {
  static scenario::OvenBank bank;
  return scenario::read_text(text, SOURCE_DIR "/scenarios/cases/test.yaml", bank);
}

}  // namespace

std::string errors_of(const std::string& whole_text) {
  const scenario::Read result = read(whole_text);
  std::string all;
  if (const auto* errors = std::get_if<std::vector<machine::Error>>(&result)) {
    for (const machine::Error& each : *errors) all += to_text(each) + '\n';
  }
  return all;
}

std::vector<scenario::Case> cases_of(const std::string& text) {
  const scenario::Read result = read(head() + text);
  REQUIRE_MESSAGE(std::holds_alternative<std::vector<scenario::Case>>(result),
                  errors_of(head() + text));
  return std::get<std::vector<scenario::Case>>(result);
}

scenario::CaseResult play_case(const scenario::Case& one, const scenario::Observer& observer) {
  scenario::CaseResult result;
  scenario::reach(*one.oven, {one.start}, [&](std::size_t, const scenario::Checkpoint& there) {
    result = scenario::play(one, there, false, observer);
  });
  return result;
}

scenario::CaseResult play_text(const std::string& text, const scenario::Observer& observer) {
  const std::vector<scenario::Case> cases = cases_of(text);
  REQUIRE(cases.size() == 1);
  return play_case(cases.front(), observer);
}

Recording::Recording(const std::string& text, std::string_view probe) {
  const rig::Probe* found = rig::find_probe(probe);
  REQUIRE(found != nullptr);
  result_ = play_text(text, [&](const rig::Rig& rig) { values_.push_back(found->read(rig)); });
}

long Recording::first(double value) const {
  const auto at = std::find(values_.begin(), values_.end(), value);
  return at == values_.end() ? -1 : 10 * (at - values_.begin());
}

long Recording::lasts(double value) const {
  return 10 * std::count(values_.begin(), values_.end(), value);
}

double Recording::least() const { return *std::min_element(values_.begin(), values_.end()); }
double Recording::greatest() const { return *std::max_element(values_.begin(), values_.end()); }

Ran shell(const std::string& command) {
  Ran ran;
  FILE* pipe = popen(command.c_str(), "r");
  REQUIRE(pipe != nullptr);
  std::array<char, 4096> buffer{};
  for (std::size_t n = 0; (n = fread(buffer.data(), 1, buffer.size(), pipe)) > 0;) {
    ran.out.append(buffer.data(), n);
  }
  const int status = pclose(pipe);
  ran.status = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
  return ran;
}

}  // namespace ovenproof::test
