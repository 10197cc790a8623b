#pragma once
#include <cstdint>
#include <string_view>

#include "firmware/settings/descriptor.hpp"

/// Short ways to write an entry of the table of settings, one for each kind.
namespace ovenproof::settings::detail {

template <auto Group, auto Member>
constexpr Descriptor number(std::string_view key, std::string_view unit, float minimum,
                            float maximum, std::string_view what, std::string_view why) {
  return describe<Field<Group, Member>>(key, unit, Value::number(minimum), Value::number(maximum),
                                        what, why);
}
template <auto Group, auto Member>
constexpr Descriptor integer(std::string_view key, std::string_view unit, std::uint32_t minimum,
                             std::uint32_t maximum, std::string_view what, std::string_view why) {
  return describe<Field<Group, Member>>(key, unit, Value::integer(minimum), Value::integer(maximum),
                                        what, why);
}
template <auto Group, auto Member>
constexpr Descriptor boolean(std::string_view key, std::string_view what, std::string_view why) {
  return describe<Field<Group, Member>>(key, "", Value::boolean(false), Value::boolean(true), what,
                                        why);
}
template <auto Group, auto Member>
constexpr Descriptor choice(std::string_view key, std::span<const std::string_view> names,
                            std::string_view what, std::string_view why) {
  return describe<Field<Group, Member>>(key, "", Value::choice(0),
                                        Value::choice(static_cast<std::uint32_t>(names.size() - 1)),
                                        what, why, names);
}

inline constexpr std::uint32_t hour_ms = 3'600'000;
inline constexpr std::uint32_t day_ms = 24 * hour_ms;

}  // namespace ovenproof::settings::detail
