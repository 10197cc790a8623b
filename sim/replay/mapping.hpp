#pragma once
#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "sim/machine/error.hpp"
#include "sim/machine/machine.hpp"
#include "sim/replay/reading_unit.hpp"
#include "sim/replay/signal.hpp"
#include "sim/replay/timestamp.hpp"

namespace ovenproof::replay {

/// One column of a log and the signal that it recorded: signal = scale * cell + offset, in `unit`.
struct ColumnMapping {
  std::string column;  ///< as in the header
  machine::Place at;   ///< in the mapping file
  Signal signal;
  ReadingUnit unit;
  double scale = 1.0;
  double offset = 0.0;
  bool invert = false;  ///< of a boolean
};

/// A value for an input that was not recorded.
struct Assumed {
  ReadingUnit unit;
  double value = 0.0;
  std::string text;  ///< as written
};

/// What the columns of a log mean.
struct Mapping {
  std::string file;  ///< empty: by the names in the header
  int header_line = 1;
  std::optional<char> delimiter;  ///< nothing: found out
  char decimal = 0;               ///< 0: the point, and with semicolons the comma too
  std::string time_column;        ///< empty: the one called "time"
  TimeFormat time_format = TimeFormat::automatic;
  bool hold_analog = false;         ///< between rows: held; else on a straight line
  bool missing_is_assumed = false;  ///< a column that the log lacks counts as not recorded
  std::vector<ColumnMapping> columns;
  std::map<std::size_t, Assumed> assumed;  ///< by probe
};

using LoadedMapping = std::variant<Mapping, std::vector<machine::Error>>;

/// Reads a mapping file (docs/replay.md), with all that is wrong with it at once.
LoadedMapping load_mapping(const std::filesystem::path& path, const machine::Machine& machine);
/// The same from text.
LoadedMapping parse_mapping(std::string_view text, const std::string& name,
                            const machine::Machine& machine);

/// "name [unit]" in its parts.
struct HeaderName {
  std::string_view name;
  std::string_view unit;
};
HeaderName split_header(std::string_view header);

/// The meaning of a column that is called by the name of a signal or a tag, with its unit in
/// brackets: what a trace of `ovenproof run` holds. Nothing if it is not called so.
std::optional<ColumnMapping> by_name(std::string_view header, const machine::Machine& machine);

}  // namespace ovenproof::replay
