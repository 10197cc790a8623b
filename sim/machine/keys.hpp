#pragma once
#include <cstddef>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

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
  text       ///< words for people
};

/// The lists of a machine file hold groups of keys; their keys are written `list[].key`.
inline constexpr std::string_view segment_list = "programme.segments";

struct Key {
  std::string path;  ///< "chamber.wall_area"; in a list "programme.segments[].target"
  KeyKind kind = KeyKind::quantity;
  Dimension dimension = Dimension::number;
  std::string_view unit;    ///< in which it is shown
  double minimum = 0.0;     ///< inclusive, in the base unit of the dimension
  double maximum = 0.0;     ///< inclusive, in the base unit; of a text: characters
  double resolution = 0.0;  ///< in the base unit; values are whole multiples of it; 0: any
  bool required = false;    ///< on ovens that have the part
  Part part = Part::every_oven;
  std::vector<std::string_view> choices;
  std::string_view what;    ///< what it is
  std::string_view source;  ///< where default and range come from
  std::string setting;      ///< key of the controller's setting that it fills, empty if none
  bool fills_plant = false;

  /// Stores or reads a value: in the base unit; a count as it is; a flag as 0 or 1; a choice as its
  /// index. `item` counts from 0 in a list and is ignored elsewhere.
  std::function<void(Machine&, std::size_t item, double)> put;
  std::function<double(const Machine&, std::size_t item)> get;
  std::string Machine::*text = nullptr;  ///< of a text that is not a tag
  std::optional<std::size_t> tag;        ///< of a tag: index in `Machine::tags`
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

/// The value as it would be written in a file: "160 L", "true", "argon", "N".
std::string value_text(const Key& key, const Machine& machine, std::size_t item = 0);

/// What the key accepts, in words: "a volume from 1 L to 100000 L".
std::string accepts_text(const Key& key);

/// The default as written in a file; empty if there is none.
std::string default_text(const Key& key);

}  // namespace ovenproof::machine
