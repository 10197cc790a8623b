#pragma once
#include <array>
#include <cstddef>
#include <utility>

/// Names of enumerators, taken from the source by the compiler: what is printed cannot be another
/// name than the one the code uses.
///
///     enumerator_names<Fact, plain_fact_count>[2]  ->  "door_contacts_disagree"
namespace ovenproof::logic {

namespace enumerator_name_tools {

struct Text {
  const char* begin;
  std::size_t size;
};

consteval bool is_word(char c) {
  return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '_';
}

void a_value_without_a_name();

/// g++ and clang++ both end the function's own text with the value: "... value = logic::Fact::x]".
template <auto value>
consteval Text text() {
  const char* whole = __PRETTY_FUNCTION__;
  std::size_t end = 0;
  while (whole[end] != '\0') ++end;
  while (!is_word(whole[end - 1])) --end;
  std::size_t begin = end;
  while (is_word(whole[begin - 1])) --begin;
  // A value without an enumerator is printed as a number, "(logic::Fact)5": not a constant then.
  if (whole[begin - 1] != ':') a_value_without_a_name();
  return {whole + begin, end - begin};
}

/// The name with `suffix` behind it, as a string of its own.
template <auto value, std::size_t suffix_size>
consteval auto string(const char (&suffix)[suffix_size]) {
  constexpr Text name = text<value>();
  std::array<char, name.size + suffix_size> all{};
  for (std::size_t i = 0; i < name.size; ++i) all[i] = name.begin[i];
  for (std::size_t i = 0; i < suffix_size; ++i) all[name.size + i] = suffix[i];
  return all;
}

template <auto value>
inline constexpr auto plain = string<value>("");
template <auto value>
inline constexpr auto elapsed = string<value>("_elapsed");

template <class Enum, std::size_t... i>
consteval std::array<const char*, sizeof...(i)> plain_names(std::index_sequence<i...> /*all*/) {
  return {plain<static_cast<Enum>(i)>.data()...};
}
template <class Enum, std::size_t... i>
consteval std::array<const char*, sizeof...(i)> elapsed_names(std::index_sequence<i...> /*all*/) {
  return {elapsed<static_cast<Enum>(i)>.data()...};
}

}  // namespace enumerator_name_tools

/// Names of the first `count` enumerators of `Enum`, which start at 0 without a gap.
template <class Enum, std::size_t count>
inline constexpr auto enumerator_names =
    enumerator_name_tools::plain_names<Enum>(std::make_index_sequence<count>{});

/// The same with "_elapsed" behind each.
template <class Enum, std::size_t count>
inline constexpr auto elapsed_names =
    enumerator_name_tools::elapsed_names<Enum>(std::make_index_sequence<count>{});

/// Whether two names are the same.
consteval bool same_name(const char* one, const char* other) {
  while (*one != '\0' && *one == *other) {
    ++one;
    ++other;
  }
  return *one == *other;
}

}  // namespace ovenproof::logic
