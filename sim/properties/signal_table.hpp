#pragma once

#include <cstddef>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sim/properties/units.hpp"

namespace ovenproof::properties {

enum class SignalKind : std::uint8_t {
  boolean,  ///< 0 or 1 in the row
  number,   ///< a value in the signal's unit
  state,    ///< the index of one of the labels
};

/// One column of the row that a monitor sees each scan.
struct SignalInfo {
  std::string name;  ///< letters, digits, `_`, in parts joined by `.`; not a word of the language
  SignalKind kind = SignalKind::boolean;
  Unit unit;                        ///< of a number
  std::vector<std::string> labels;  ///< of a state, at most 64
  std::string description;
};

/// A named value that a property may use in place of a literal: a limit, a setting, a duration.
struct ConstantInfo {
  std::string name;
  double value = 0.0;
  Unit unit;
  std::string description;
};

/// The words a property may speak of: signals in the order of the row, and named constants.
///
/// Adding throws std::invalid_argument if the name is malformed, taken, or a word of the language,
/// if the unit is unknown, or if labels are missing, repeated, malformed or more than 64.
class SignalTable {
 public:
  /// Each returns the signal's index in the row.
  std::size_t add_boolean(std::string name, std::string description = {});
  std::size_t add_number(std::string name, std::string_view unit, std::string description = {});
  std::size_t add_state(std::string name, std::vector<std::string> labels,
                        std::string description = {});
  void add_constant(std::string name, double value, std::string_view unit,
                    std::string description = {});

  [[nodiscard]] const std::vector<SignalInfo>& signals() const { return signals_; }
  [[nodiscard]] const std::vector<ConstantInfo>& constants() const { return constants_; }

  /// Index of the signal or constant so named.
  [[nodiscard]] std::optional<std::size_t> find_signal(std::string_view name) const;
  [[nodiscard]] std::optional<std::size_t> find_constant(std::string_view name) const;

 private:
  void claim(const std::string& name) const;
  std::size_t add(SignalInfo info);

  std::vector<SignalInfo> signals_;
  std::vector<ConstantInfo> constants_;
  std::map<std::string, std::size_t, std::less<>> signal_index_;
  std::map<std::string, std::size_t, std::less<>> constant_index_;
};

/// Whether `text` is a name: parts of letters, digits and `_` that begin with a letter or `_`,
/// joined by `.`.
[[nodiscard]] bool is_name(std::string_view text);

/// Whether `text` is a reserved word of the property language.
[[nodiscard]] bool is_reserved_word(std::string_view text);

}  // namespace ovenproof::properties
