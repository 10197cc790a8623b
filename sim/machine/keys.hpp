#pragma once
#include <cstddef>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "sim/machine/error.hpp"
#include "sim/machine/machine.hpp"
#include "sim/machine/part.hpp"
#include "sim/machine/quantity.hpp"

/// The table of all keys of a machine file: the one place from which the loader, the JSON Schema,
/// the reference and the printed settings come.
namespace ovenproof::machine {

enum class KeyKind {
  quantity,  ///< a number with a unit; a plain number where the dimension has none
  count,     ///< a whole number
  flag,      ///< true or false
  choice,    ///< one of a few words
  text,      ///< words for people
  names      ///< a list of names
};

/// What a text must look like.
enum class TextForm {
  any,
  tag,    ///< of a point: "XV-101"
  date,   ///< a day of the calendar: "2026-03-31"
  digest  ///< 32 hexadecimal digits
};

/// A list of a machine file holds groups of keys; they are written `list[].key`.
struct List {
  std::string_view path;   ///< "programme.segments"
  std::string_view title;  ///< what its items are about
  std::string_view item;   ///< "a segment: target, ramp and soak"
  std::string_view items;  ///< "segments"
  bool required = false;   ///< then of at least one item
  std::size_t most = 0;    ///< items
  std::size_t (*size)(const Machine&) = nullptr;
  void (*resize)(Machine&, std::size_t) = nullptr;
  /// Tells an item where it stands in the file; null where nobody asks later.
  void (*place)(Machine&, std::size_t item, Place) = nullptr;
};

/// Longest name in a list of names, in characters.
inline constexpr std::size_t longest_name = 80;

inline constexpr std::string_view segment_list = "programme.segments";

/// All lists, in the order of the reference.
std::span<const List> all_lists();

/// The list with this path; nullptr if there is none.
const List* find_list(std::string_view path);

/// The list that holds the key with this path; nullptr for a key of no list.
const List* list_of(std::string_view key);

struct Key {
  std::string path;  ///< "chamber.wall_area"; in a list "programme.segments[].target"
  KeyKind kind = KeyKind::quantity;
  TextForm form = TextForm::any;  ///< of a text
  Dimension dimension = Dimension::number;
  std::string_view unit;    ///< in which it is shown
  double minimum = 0.0;     ///< inclusive, in the base unit of the dimension
  double maximum = 0.0;     ///< inclusive, in the base unit; of a text: characters; of names: names
  double resolution = 0.0;  ///< in the base unit; values are whole multiples of it; 0: any
  bool required = false;    ///< on ovens that have the part
  Part part = Part::every_oven;
  std::vector<std::string_view> choices;  ///< of a choice; of names: if not empty, no others
  std::string_view what;                  ///< what it is
  std::string_view source;                ///< where default and range come from
  std::string setting;  ///< key of the controller's setting that it fills, empty if none
  bool fills_plant = false;

  /// Stores or reads a value: in the base unit; a count as it is; a flag as 0 or 1; a choice as its
  /// index. NaN is what was not stated and has no default. `item` counts from 0 in a list, is
  /// below its size, and is ignored elsewhere.
  std::function<void(Machine&, std::size_t item, double)> put;
  std::function<double(const Machine&, std::size_t item)> get;
  /// Of a text, and of names: one of them a text, or none. Empty is what was not stated.
  std::function<std::vector<std::string>(const Machine&, std::size_t item)> get_texts;
  std::function<void(Machine&, std::size_t item, std::vector<std::string>)> put_texts;
  std::optional<std::size_t> tag;  ///< of a tag: index in `Machine::tags`
};

/// All keys, in the order of the reference.
const std::vector<Key>& all_keys();

/// The key with this path, list items written `[]`; nullptr if there is none.
const Key* find_key(std::string_view path);

/// True if the path is a group of keys, such as "chamber".
bool is_section(std::string_view path);

/// What a group of keys is about; empty for an unknown one.
std::string_view section_title(std::string_view section);

/// A machine in which every key has its default.
Machine default_machine();

/// True if the machine has a value for the key: stated or by default.
bool has_value(const Key& key, const Machine& machine, std::size_t item = 0);

/// The value as it would be written in a file: "160 L", "true", "argon", "N", "[Q1, Q2]". Empty if
/// there is none.
std::string value_text(const Key& key, const Machine& machine, std::size_t item = 0);

/// What the key accepts, in words: "a volume from 1 L to 100000 L".
std::string accepts_text(const Key& key);

/// The default as written in a file; empty if there is none.
std::string default_text(const Key& key);

}  // namespace ovenproof::machine
