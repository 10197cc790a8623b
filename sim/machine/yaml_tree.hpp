#pragma once
#include <string>
#include <string_view>
#include <vector>

#include "sim/machine/error.hpp"

/// YAML as a plain tree in which every node and key knows its place.
namespace ovenproof::machine {

struct Node {
  enum class Kind {
    null,      ///< nothing written after the key
    scalar,    ///< text
    sequence,  ///< children in order
    map,       ///< children in order, each with its key
    refused    ///< already reported: ask nothing more of it
  };
  Kind kind = Kind::null;
  Place at;
  std::string text;     ///< of a scalar
  bool quoted = false;  ///< of a scalar: written in quotes or as a block, so always text
  std::string key;      ///< of a child of a map
  Place key_at;
  std::vector<Node> children;
};

/// The deepest nesting read.
inline constexpr int deepest_nesting = 16;

struct Tree {
  Node root;
  std::vector<Error> errors;  ///< what is wrong with the text as YAML; the root holds what was read
  /// False when reading stopped early, so that what is missing from the root means nothing.
  bool whole = false;
};

/// Reads one YAML document. Refused, each with its place: text that is empty, not UTF-8 or holds
/// control characters; syntax errors; more than one document; anchors, aliases and merge keys (so
/// nothing can expand); tags; nesting deeper than `deepest_nesting`; keys that are not plain text.
/// Duplicate keys are reported and the first one stands. Never throws on any input.
Tree read_yaml(std::string_view text, const std::string& file);

/// What a node is, for "found ...": "a list", "nothing", "\"160 L\"".
std::string described(const Node& node);

}  // namespace ovenproof::machine
