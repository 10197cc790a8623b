#pragma once
#include <bit>
#include <cstdint>
#include <span>
#include <string_view>
#include <type_traits>

#include "firmware/settings/settings.hpp"

/// How one setting is described, read and written without knowing its type.
namespace ovenproof::settings {

enum class Kind : std::uint8_t {
  number,   ///< float32
  integer,  ///< unsigned 32-bit: counts, permille, durations in ms
  boolean,  ///< 0 or 1
  choice    ///< index into `Descriptor::choices`
};

/// The value of any setting: its kind and its 32 bits, which are also what is stored.
struct Value {
  Kind kind = Kind::integer;
  std::uint32_t bits = 0;

  static constexpr Value number(float v) { return {Kind::number, std::bit_cast<std::uint32_t>(v)}; }
  static constexpr Value integer(std::uint32_t v) { return {Kind::integer, v}; }
  static constexpr Value boolean(bool v) { return {Kind::boolean, v ? 1U : 0U}; }
  static constexpr Value choice(std::uint32_t index) { return {Kind::choice, index}; }

  /// Meaningful for Kind::number only.
  [[nodiscard]] constexpr float as_number() const { return std::bit_cast<float>(bits); }
  /// Meaningful for every kind but Kind::number.
  [[nodiscard]] constexpr std::uint32_t as_integer() const { return bits; }
  friend constexpr bool operator==(const Value&, const Value&) = default;
};

/// One setting: what it is, what it may be, where it lives.
struct Descriptor {
  std::string_view key;   ///< "group.name", the key in machine files and messages
  std::string_view unit;  ///< "1" for dimensionless numbers and counts, "" for booleans and choices
  Kind kind;
  Value minimum;                              ///< inclusive
  Value maximum;                              ///< inclusive
  std::span<const std::string_view> choices;  ///< names of a choice, by index; else empty
  std::string_view what;                      ///< what it is
  std::string_view why;                       ///< why this default and range, with the source
  Value (*get)(const Settings&);
  void (*set)(Settings&, Value);  ///< stores the bits as they are; `validate` judges them

  [[nodiscard]] constexpr Value default_value() const { return get(Settings{}); }
};

/// True if `value` is of the kind of `descriptor` and within its range; a NaN never is.
constexpr bool in_range(const Descriptor& descriptor, Value value) {
  if (value.kind != descriptor.kind) return false;
  if (value.kind == Kind::number)
    return value.as_number() >= descriptor.minimum.as_number() &&
           value.as_number() <= descriptor.maximum.as_number();
  return value.bits >= descriptor.minimum.bits && value.bits <= descriptor.maximum.bits;
}

namespace detail {

template <class T>
constexpr Kind kind_of() {
  if constexpr (std::is_same_v<T, float>)
    return Kind::number;
  else if constexpr (std::is_same_v<T, std::uint32_t>)
    return Kind::integer;
  else if constexpr (std::is_same_v<T, bool>)
    return Kind::boolean;
  else if constexpr (std::is_enum_v<T>)
    return Kind::choice;
  else
    return kind_of<decltype(T::value)>();
}

template <class T>
constexpr Value to_value(const T& field) {
  if constexpr (std::is_same_v<T, float>)
    return Value::number(field);
  else if constexpr (std::is_same_v<T, std::uint32_t>)
    return Value::integer(field);
  else if constexpr (std::is_same_v<T, bool>)
    return Value::boolean(field);
  else if constexpr (std::is_enum_v<T>)
    return Value::choice(static_cast<std::uint32_t>(field));
  else
    return to_value(field.value);
}

template <class T>
constexpr void from_value(T& field, Value value) {
  if constexpr (std::is_same_v<T, float>)
    field = value.as_number();
  else if constexpr (std::is_same_v<T, std::uint32_t>)
    field = value.as_integer();
  else if constexpr (std::is_same_v<T, bool>)
    field = value.as_integer() != 0;
  else if constexpr (std::is_enum_v<T>)
    field = static_cast<T>(value.as_integer());
  else
    from_value(field.value, value);
}

/// A member of a group of `Settings`.
template <auto Group, auto Member>
struct Field {
  static constexpr auto& at(auto& settings) { return settings.*Group.*Member; }
};

/// A member of the programme's segment `Index`.
template <std::size_t Index, auto Member>
struct SegmentField {
  static constexpr auto& at(auto& settings) { return settings.programme.segments[Index].*Member; }
};

template <class F>
constexpr Value get(const Settings& settings) {
  return to_value(F::at(settings));
}

template <class F>
constexpr void set(Settings& settings, Value value) {
  from_value(F::at(settings), value);
}

template <class F>
constexpr Descriptor describe(std::string_view key, std::string_view unit, Value minimum,
                              Value maximum, std::string_view what, std::string_view why,
                              std::span<const std::string_view> choices = {}) {
  using T = std::remove_cvref_t<decltype(F::at(std::declval<Settings&>()))>;
  return {key, unit, kind_of<T>(), minimum, maximum, choices, what, why, &get<F>, &set<F>};
}

}  // namespace detail
}  // namespace ovenproof::settings
