#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sim/machine/error.hpp"
#include "sim/machine/yaml_tree.hpp"
#include "sim/properties/property.hpp"

namespace ovenproof::scenario {

/// Collects what is wrong with one scenario file. The same mistake met again, because several cases
/// come from one text, is kept once.
class Reporter {
 public:
  /// `text`: of the file, to find places inside a value.
  Reporter(std::string file, std::string_view text);

  void report(const machine::Node& node, std::string key, std::string expected, std::string found,
              std::string hint = "");
  /// A word that is none of `known`; suggests the nearest.
  void report_unknown(machine::Place at, std::string key, std::string expected,
                      std::string_view word, const std::vector<std::string>& known);
  /// Mistakes in a property. `written`: the part of the compiled text that stands in the node, by
  /// its offset.
  void report(const machine::Node& node, const std::string& key,
              const std::vector<properties::Diagnostic>& diagnostics, std::string_view compiled,
              std::size_t offset);
  void add(machine::Error error);

  [[nodiscard]] const std::string& file() const { return file_; }
  [[nodiscard]] std::size_t count() const { return errors_.size(); }
  /// What was collected, in the order of the file, at most `machine::most_errors`.
  [[nodiscard]] std::vector<machine::Error> take();

 private:
  [[nodiscard]] std::optional<int> column_of(const machine::Node& node) const;

  std::string file_;
  std::vector<std::string_view> lines_;
  std::vector<machine::Error> errors_;
};

/// The child of a map with that key; null if there is none.
const machine::Node* child(const machine::Node& map, std::string_view key);

/// Text for a message, in one line and cut at `most` characters.
std::string excerpt(std::string_view text, std::size_t most);

/// Where to point for a node: an empty value is marked by its key.
machine::Place place_of(const machine::Node& node);

}  // namespace ovenproof::scenario
