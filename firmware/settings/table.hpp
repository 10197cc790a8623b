#pragma once
#include <array>
#include <cstddef>
#include <optional>
#include <string_view>

#include "firmware/settings/table_oven.hpp"
#include "firmware/settings/table_process.hpp"

/// The table of all settings: the one place that says what each is and may be.
///
/// Order is storage order. "Common practice" in the last text of an entry means that no published
/// source is known for the figure. These are defaults to start commissioning from, not advice: the
/// machine's own risk assessment decides.
namespace ovenproof::settings {

namespace detail {
template <std::size_t... N>
constexpr auto joined(const std::array<Descriptor, N>&... parts) {
  std::array<Descriptor, (N + ...)> whole{};
  std::size_t next = 0;
  const auto append = [&](const auto& part) {
    for (const Descriptor& entry : part) whole[next++] = entry;
  };
  (append(parts), ...);
  return whole;
}
}  // namespace detail

/// All settings, in storage order.
inline constexpr auto table = detail::joined(
    detail::options_table, detail::contacts_table, detail::purge_table, detail::timing_table,
    detail::temperature_table, detail::cooling_table, detail::oxygen_table, detail::programme_table,
    detail::segments_table, detail::control_table, detail::scan_table);

/// Number of settings.
inline constexpr std::size_t setting_count = table.size();

/// Index in `table` of the setting with this key; empty if there is none.
constexpr std::optional<std::size_t> find(std::string_view key) {
  for (std::size_t i = 0; i < table.size(); ++i)
    if (table[i].key == key) return i;
  return std::nullopt;
}

/// Index in `table` of a key known at compile time; a wrong key does not compile.
consteval std::size_t index_of(std::string_view key) { return find(key).value(); }

}  // namespace ovenproof::settings
