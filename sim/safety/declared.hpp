#pragma once
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// Safety functions and the reliability of their parts as people state them: plain data. Nothing
/// here has a default; what is not stated is not there.
namespace ovenproof::safety {

/// Designated architecture of ISO 13849-1:2015, 6.2.
enum class Category : std::uint8_t { b, one, two, three, four, count };
inline constexpr std::size_t category_count = static_cast<std::size_t>(Category::count);
inline constexpr std::array<std::string_view, category_count> category_names{"B", "1", "2", "3",
                                                                             "4"};
constexpr std::string_view name(Category category) {
  return category < Category::count ? category_names[static_cast<std::size_t>(category)] : "";
}

/// Performance level of ISO 13849-1, from the least on.
enum class Level : std::uint8_t { a, b, c, d, e, count };
inline constexpr std::size_t level_count = static_cast<std::size_t>(Level::count);
inline constexpr std::array<std::string_view, level_count> level_names{"a", "b", "c", "d", "e"};
constexpr std::string_view name(Level level) {
  return level < Level::count ? level_names[static_cast<std::size_t>(level)] : "";
}

/// One part of the safety functions, with the reliability of its dangerous failures. Stated is
/// either MTTFd, or T10d, or B10d with the operations.
struct Component {
  std::string name;                           ///< by which functions refer to it
  std::string source;                         ///< where the figures come from
  std::optional<double> mttfd_years;          ///< mean time to dangerous failure
  std::optional<double> t10d_years;           ///< until 10 % have failed dangerously
  std::optional<double> b10d_cycles;          ///< operations until 10 % have failed dangerously
  std::optional<double> operations_per_year;  ///< as built
  /// Dangerous failure modes, as a campaign calls them: "Q1.welded", or with its share of the
  /// dangerous failure rate "Q1.welded 80 %". Without shares each counts alike.
  std::vector<std::string> modes;
  std::optional<double> claimed_coverage;  ///< 0..1, where no failure mode can be simulated
  std::optional<std::size_t> claimed_by;   ///< the measure, an index in `coverage_measures`
  int line = 0;                            ///< in the file
  int column = 0;
};

/// One safety function.
struct Function {
  std::string name;
  std::optional<Category> category;         ///< as claimed
  std::optional<Level> required;            ///< by the machine's risk assessment
  std::vector<std::string> channel_1;       ///< names of components in series
  std::vector<std::string> channel_2;       ///< the redundant channel; empty: none
  std::vector<std::string> test_equipment;  ///< of category 2
  std::optional<double> tests_per_demand;   ///< of category 2
  std::vector<std::string> common_cause;    ///< measures against it, see `common_cause_measures`
  std::optional<double> process_safety_time_s;  ///< from failure or demand until harm
  std::optional<double> proof_test_years;       ///< interval of proof tests
  std::vector<std::string> hazards;             ///< ids of the hazards it protects from
  std::vector<std::string> causes;              ///< causes of the matrix by which it acts
  int line = 0;                                 ///< in the file
  int column = 0;
};

/// All that is stated.
struct Declared {
  std::vector<Component> components;
  std::vector<Function> functions;
};

}  // namespace ovenproof::safety
