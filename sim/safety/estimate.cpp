#include "sim/safety/estimate.hpp"

#include <algorithm>
#include <span>

#include <fmt/format.h>

#include "sim/safety/annex_k.hpp"
#include "sim/safety/iec_61508.hpp"
#include "sim/safety/measures.hpp"
#include "sim/safety/reliability.hpp"

namespace ovenproof::safety {

namespace {

/// Category 2: the tests come this often for each demand, or this often with a tenth more PFHd
/// (ISO 13849-1:2015, 4.5.4).
constexpr double enough_tests = 100.0;
constexpr double just_enough_tests = 25.0;
constexpr double just_enough_factor = 1.1;

class Estimator {
 public:
  Estimator(const Declared& declared, const Function& function, const CoverageOf& coverage)
      : declared_(declared), function_(function), coverage_(coverage) {}

  Estimate run() && {
    if (!function_.category) out_.needs.emplace_back("category");
    channels();
    average();
    common_cause();
    if (function_.category == Category::two) test_equipment();
    simplified_method();
    cross_check();
    return std::move(out_);
  }

 private:
  [[nodiscard]] bool two_channels() const {
    return function_.category && *function_.category >= Category::three;
  }
  [[nodiscard]] bool diagnosed() const {
    return function_.category && *function_.category >= Category::two;
  }

  /// The channel's MTTFd without a cap; what is missing is told.
  std::optional<double> channel(const std::vector<std::string>& names, std::string_view key) {
    if (names.empty()) {
      out_.needs.emplace_back(key);
      return std::nullopt;
    }
    std::vector<double> years;
    for (const std::string& name : names) {
      const Component* part = find_component(declared_, name);
      const std::optional<double> one = part == nullptr ? std::nullopt : safety::mttfd_years(*part);
      if (one) {
        years.push_back(*one);
      } else {
        need(fmt::format("{} of {}", part == nullptr ? "data" : missing_for_mttfd(*part), name));
      }
    }
    if (years.size() != names.size()) return std::nullopt;
    return series_years(years);
  }

  void need(std::string what) {
    if (std::find(out_.needs.begin(), out_.needs.end(), what) == out_.needs.end()) {
      out_.needs.push_back(std::move(what));
    }
  }

  void channels() {
    const auto capped = [](std::optional<double> years) {
      if (years) years = std::min(*years, most_channel_years);
      return years;
    };
    out_.channel_1_years = capped(channel(function_.channel_1, "channel_1"));
    if (!two_channels()) {
      out_.mttfd_years = out_.channel_1_years;
    } else {
      out_.channel_2_years = capped(channel(function_.channel_2, "channel_2"));
      if (out_.channel_1_years && out_.channel_2_years) {
        out_.mttfd_years = symmetric_years(*out_.channel_1_years, *out_.channel_2_years);
      }
    }
    for (const Component* part : parts()) {
      const std::optional<double> t10d = t10d_years(*part);
      if (t10d && *t10d < mission_years) {
        out_.notes.push_back(
            fmt::format("replace {} every {:.3g} years (T10d)", part->name, *t10d));
      }
    }
  }

  /// The components of all channels, each once.
  [[nodiscard]] std::vector<const Component*> parts() const {
    std::vector<const Component*> out;
    for (const auto* names : {&function_.channel_1, &function_.channel_2}) {
      for (const std::string& name : *names) {
        const Component* part = find_component(declared_, name);
        if (part != nullptr && std::find(out.begin(), out.end(), part) == out.end()) {
          out.push_back(part);
        }
      }
    }
    return out;
  }

  void average() {
    std::vector<Covered> covered;
    bool whole = !function_.channel_1.empty();
    for (const Component* part : parts()) {
      const std::optional<double> years = safety::mttfd_years(*part);
      const std::optional<double> coverage = coverage_(*part);
      if (!coverage && diagnosed()) {
        need(fmt::format("{} of {}",
                         part->modes.empty() ? "modes or coverage" : "results of all modes",
                         part->name));
      }
      whole = whole && years && coverage;
      if (years && coverage) covered.push_back({*years, *coverage});
    }
    if (whole && !covered.empty()) out_.coverage = average_coverage(covered);
  }

  void common_cause() {
    if (!diagnosed()) return;
    if (function_.common_cause.empty()) {
      out_.needs.emplace_back("common_cause");
      return;
    }
    int points = 0;
    for (const CommonCauseMeasure& measure : common_cause_measures) {
      if (std::find(function_.common_cause.begin(), function_.common_cause.end(), measure.name) !=
          function_.common_cause.end()) {
        points += measure.points;
      }
    }
    out_.common_cause_points = points;
    if (points < least_common_cause_points) {
      out_.shortfalls.push_back(fmt::format("{} points against common cause failures, {} needed",
                                            points, least_common_cause_points));
    }
  }

  void test_equipment() {
    const std::optional<double> tester = channel(function_.test_equipment, "test_equipment");
    if (tester && out_.channel_1_years && *tester < *out_.channel_1_years / 2.0) {
      out_.shortfalls.push_back(fmt::format(
          "MTTFd of the test equipment, {:.3g} years, is below half of the channel's", *tester));
    }
    if (!function_.tests_per_demand) {
      out_.needs.emplace_back("tests_per_demand");
    } else if (*function_.tests_per_demand < just_enough_tests) {
      out_.shortfalls.push_back(fmt::format("{:.3g} tests a demand, at least {:.0f} needed",
                                            *function_.tests_per_demand, just_enough_tests));
    }
  }

  void simplified_method() {
    if (!function_.category || !out_.mttfd_years) return;
    if (diagnosed() && (!out_.coverage || !out_.common_cause_points)) return;
    if (function_.category == Category::two &&
        (!function_.tests_per_demand || function_.test_equipment.empty())) {
      return;
    }
    const CoverageBand band = diagnosed() ? band_of(*out_.coverage) : CoverageBand::none;
    const std::optional<double> pfhd =
        tabulated_pfhd_per_h(*function_.category, band, *out_.mttfd_years);
    if (!pfhd) {
      out_.shortfalls.push_back(fmt::format(
          "no category {} with an MTTFd of {:.3g} years and {}", name(*function_.category),
          *out_.mttfd_years,
          diagnosed()
              ? fmt::format("a coverage of {:.1f} % ({})", *out_.coverage * 100.0, name(band))
              : "no diagnostics"));
    }
    if (!out_.shortfalls.empty() || !pfhd) return;
    out_.pfhd_per_h = pfhd;
    if (function_.category == Category::two && *function_.tests_per_demand < enough_tests) {
      *out_.pfhd_per_h *= just_enough_factor;
      out_.notes.push_back(fmt::format("PFHd times {} for fewer than {:.0f} tests a demand",
                                       just_enough_factor, enough_tests));
    }
    out_.level = level_of(*out_.pfhd_per_h);
    if (function_.required && (!out_.level || *out_.level < *function_.required)) {
      out_.shortfalls.push_back(
          fmt::format("performance level {} is required", name(*function_.required)));
    }
  }

  void cross_check() {
    if (!out_.mttfd_years || !function_.category || function_.category == Category::two) return;
    if (two_channels() && !out_.coverage) return;
    Channels channels;
    channels.dangerous_per_h = dangerous_rate_per_h(*out_.mttfd_years);
    channels.coverage = two_channels() ? *out_.coverage : 0.0;
    channels.proof_test_h = mission_years * hours_per_year;
    out_.cross_check_pfh_per_h =
        two_channels() ? pfh_1oo2_per_h(channels) : pfh_1oo1_per_h(channels);
    if (function_.proof_test_years) {
      channels.proof_test_h = *function_.proof_test_years * hours_per_year;
      out_.pfd_average = two_channels() ? pfd_1oo2(channels) : pfd_1oo1(channels);
    }
  }

  const Declared& declared_;
  const Function& function_;
  const CoverageOf& coverage_;
  Estimate out_;
};

}  // namespace

const Component* find_component(const Declared& declared, std::string_view name) {
  const auto found = std::find_if(declared.components.begin(), declared.components.end(),
                                  [&](const Component& each) { return each.name == name; });
  return found == declared.components.end() ? nullptr : &*found;
}

Estimate estimate(const Declared& declared, const Function& function, const CoverageOf& coverage) {
  return Estimator(declared, function, coverage).run();
}

}  // namespace ovenproof::safety
