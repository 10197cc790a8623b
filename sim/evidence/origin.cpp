#include "sim/evidence/origin.hpp"

#include <sodium.h>

#include <boost/version.hpp>
#include <fmt/core.h>
#include <nlohmann/json.hpp>

namespace ovenproof::evidence {

std::string_view program_version() { return OVENPROOF_VERSION; }

std::vector<std::pair<std::string, std::string>> library_versions() {
  const auto dotted = [](int major, int minor, int patch) {
    return fmt::format("{}.{}.{}", major, minor, patch);
  };
  return {
      {"Boost (MSM, MPL)",
       dotted(BOOST_VERSION / 100'000, BOOST_VERSION / 100 % 1000, BOOST_VERSION % 100)},
      {"fmt", dotted(FMT_VERSION / 10'000, FMT_VERSION / 100 % 100, FMT_VERSION % 100)},
      {"libsodium (SHA-256)", SODIUM_VERSION_STRING},
      {"nlohmann json", dotted(NLOHMANN_JSON_VERSION_MAJOR, NLOHMANN_JSON_VERSION_MINOR,
                               NLOHMANN_JSON_VERSION_PATCH)},
      {"uPlot (charts of the page)", OVENPROOF_UPLOT_VERSION},
      {"yaml-cpp", OVENPROOF_YAML_CPP_VERSION},
  };
}

}  // namespace ovenproof::evidence
