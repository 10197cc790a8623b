#pragma once
#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "firmware/settings/settings.hpp"
#include "firmware/settings/table.hpp"

/// Which settings the controller refuses to run with, and why.
namespace ovenproof::settings {

/// What two settings, each within its range, must not say together.
enum class Rule : std::uint8_t {
  gate_below_hold_limit,
  process_below_purge_flow,
  enough_volumes_without_monitor,
  purge_fits_timeout,
  target_below_high_limit,
  range_above_high_limit,
  target_above_unload,
  heating_fits_timeout,
  warm_up_fits_maximum,
  transmitter_log_positive,
  transmitter_includes_air,
  transmitter_resolves_gate,
  cell_resolves_gate,
  door_start_needs_two_contacts,
  discrepancy_beyond_debounce,
  overrun_beyond_period,
  jump_beyond_overrun,
  filter_below_derivative,
  no_rise_below_max_drive,
  count
};

inline constexpr std::size_t rule_count = static_cast<std::size_t>(Rule::count);

/// One reason to refuse.
struct Violation {
  enum class Problem : std::uint8_t {
    out_of_range,   ///< `setting` is not within its range, or not a number
    contradiction,  ///< `setting` and `other` contradict each other by `rule`
  };
  Problem problem{};
  std::uint16_t setting = 0;  ///< index in `table`
  std::uint16_t other = 0;    ///< index in `table`; equals `setting` if out of range
  Rule rule = Rule::count;    ///< which contradiction; `count` if out of range
  std::string_view expected;  ///< what must hold, in words

  friend constexpr bool operator==(const Violation&, const Violation&) = default;
};

/// The violation of setting `index` being out of its range.
constexpr Violation out_of_range(std::size_t index) {
  const auto setting = static_cast<std::uint16_t>(index);
  return {Violation::Problem::out_of_range, setting, setting, Rule::count,
          "a value from minimum to maximum"};
}

/// All violations of one set of settings; room for every possible one, so none is ever dropped.
class Violations {
 public:
  [[nodiscard]] constexpr bool empty() const { return count_ == 0; }
  [[nodiscard]] constexpr std::size_t size() const { return count_; }
  [[nodiscard]] constexpr const Violation& operator[](std::size_t i) const { return list_[i]; }
  [[nodiscard]] constexpr const Violation* begin() const { return list_.data(); }
  [[nodiscard]] constexpr const Violation* end() const { return list_.data() + count_; }
  /// Adds one; beyond the capacity (which validation cannot reach) it is ignored.
  constexpr void add(const Violation& violation) {
    if (count_ < list_.size()) list_[count_++] = violation;
  }

 private:
  std::array<Violation, setting_count + rule_count> list_{};
  std::size_t count_ = 0;
};

/// Every setting against its range; contradictions only between settings that are in range.
/// Settings of parts the oven does not have (a sensor that is not fitted, segments beyond the
/// count) are held to their range but contradict nothing. Empty: the controller may run.
[[nodiscard]] Violations validate(const Settings& settings);

}  // namespace ovenproof::settings
