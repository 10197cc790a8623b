#pragma once
#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "hal-mock/terminals.hpp"
#include "sim/replay/log_reader.hpp"
#include "sim/replay/survey.hpp"

namespace ovenproof::replay {

/// What stands in for an input that the log does not hold.
struct Assumption {
  Signal input;
  std::string text;  ///< "25 degC", "as input.te_a"
};

/// The recorded inputs at any time, with an assumption for each that was not recorded: the healthy
/// level, what a healthy device would answer to the firmware's own outputs, or what the mapping
/// says. Contacts hold from row to row; analogue inputs go from row to row on a straight line,
/// unless the mapping holds them too.
class InputFeed {
 public:
  /// What is fitted to the machine but neither recorded nor assumed is added to `errors`: a
  /// temperature or an oxygen level cannot be made up.
  InputFeed(const machine::Machine& machine, const Mapping& mapping, const Layout& layout,
            const Survey& survey, const std::string& file, std::vector<machine::Error>& errors);

  /// A row becomes the present one. With `restart`, nothing of the rows before is left.
  void take(const Sample& sample, bool restart);
  /// The row after the present one; until the next `take`, analogue inputs move towards it.
  void look_ahead(const Sample& next);

  /// The inputs at `ms`, from the present row's time on. `outputs`: what the firmware drives;
  /// `since_start_ms`: since the firmware was started.
  [[nodiscard]] mock::FieldInputs at(std::int64_t ms, const mock::FieldOutputs& outputs,
                                     std::int64_t since_start_ms) const;

  /// The last value of each column of the layout, in its own unit.
  [[nodiscard]] const std::vector<double>& held() const { return held_; }
  [[nodiscard]] const std::vector<Assumption>& assumptions() const { return assumptions_; }

 private:
  enum class Source : std::uint8_t { constant, column, output, no_output, other_input, pulse };
  struct Contact {
    Source source = Source::constant;
    std::size_t from = 0;  ///< column, output or input
    bool level = false;
  };
  struct Analog {
    Source source = Source::constant;
    std::size_t from = 0;  ///< column or input
    ReadingUnit unit;      ///< of a constant
    double value = 0.0;    ///< of a constant
    double now = 0.0;      ///< at the terminals, in the present row
    double next = 0.0;     ///< in the next
  };
  using Analogs = std::array<Analog, hal::analog_in_count>;

  void choose_contact(hal::DigitalIn point);
  void choose_analog(hal::AnalogIn point, const std::string& file, machine::Place header,
                     std::vector<machine::Error>& errors);
  void assume(std::size_t probe, std::string text);
  std::optional<std::size_t> column_of(std::size_t probe) const;
  void to_terminals(const std::vector<double>& values, double Analog::*into);

  const machine::Machine& machine_;
  const Mapping& mapping_;
  const Layout& layout_;
  const Survey& survey_;
  std::array<Contact, hal::digital_in_count> contacts_{};
  Analogs analogs_{};
  std::vector<double> held_;
  std::vector<double> ahead_;
  std::int64_t now_ms_ = 0;
  std::int64_t next_ms_ = 0;
  std::vector<Assumption> assumptions_;
};

}  // namespace ovenproof::replay
