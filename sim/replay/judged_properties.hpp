#pragma once
#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "sim/machine/machine.hpp"
#include "sim/properties/monitor.hpp"
#include "sim/replay/input_feed.hpp"
#include "sim/replay/log_reader.hpp"

namespace ovenproof::replay {

/// A property that a recording is to be judged by.
struct NamedProperty {
  std::string id;
  std::string title;
  std::string text;
  std::string file;   ///< where it comes from; empty for the default hazards
  machine::Place at;  ///< of its text in the file
};

/// Properties from the command line: of a file, one in each line that is neither empty nor a
/// comment (#), or a single one written out.
std::variant<std::vector<NamedProperty>, machine::Error> read_properties(
    const std::string& file_or_text, std::size_t number);

/// A property that cannot be judged, as the recording lacks what it speaks of.
struct Unjudged {
  NamedProperty property;
  std::vector<std::string> missing;  ///< names of signals
};

/// Judges a recording, scan by scan, on the signals that it holds: the default hazards of an oven
/// and further properties.
class JudgedProperties {
 public:
  /// Mistakes in the text of a property are added to `errors`.
  JudgedProperties(const machine::Machine& machine, const Layout& layout,
                   const std::vector<NamedProperty>& further, std::vector<machine::Error>& errors);

  /// Begins anew, knowing nothing of what was before.
  void start();
  /// One scan: the columns' values, and the inputs as the firmware is presented with them. Gives
  /// the properties that have just been broken.
  const std::vector<std::size_t>& observe(const std::vector<double>& held,
                                          const mock::FieldInputs& inputs);

  [[nodiscard]] const std::vector<NamedProperty>& judged() const { return judged_; }
  [[nodiscard]] const std::vector<Unjudged>& unjudged() const { return unjudged_; }

 private:
  /// Where the value of a signal comes from.
  struct Source {
    enum class Kind : std::uint8_t { column, contact, no_contact, counts, constant, anything };
    Kind kind = Kind::column;
    std::size_t index = 0;  ///< column or input
    double value = 0.0;     ///< of a constant
  };
  [[nodiscard]] std::vector<std::optional<Source>> find_sources(const Layout& layout) const;

  const machine::Machine& machine_;
  std::vector<NamedProperty> judged_;
  std::vector<Unjudged> unjudged_;
  std::vector<properties::Property> properties_;
  std::vector<Source> sources_;  ///< of the row
  std::vector<std::size_t> actuator_columns_;
  std::optional<properties::MonitorSet> monitors_;
  std::vector<double> row_;
  std::vector<bool> broken_;
  std::vector<std::size_t> fresh_;
};

}  // namespace ovenproof::replay
