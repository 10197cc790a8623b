#include "sim/replay/layout.hpp"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

#include "sim/machine/suggest.hpp"

namespace ovenproof::replay {
namespace {

std::string lower(std::string_view text) {
  std::string out(text);
  for (char& c : out) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return out;
}

class Finder {
 public:
  Finder(LogHead head, const std::string& file, const Mapping& mapping,
         const machine::Machine& machine, std::vector<machine::Error>& errors)
      : file_(file), mapping_(mapping), machine_(machine), errors_(errors) {
    layout_.head = std::move(head);
    used_.resize(layout_.head.names.size());
  }

  Layout find() {
    find_time();
    if (mapping_.columns.empty()) {
      find_by_name();
    } else {
      for (const ColumnMapping& column : mapping_.columns) find_mapped(column);
    }
    for (std::size_t i = 0; i < used_.size(); ++i) {
      if (!used_[i]) layout_.ignored.push_back(layout_.head.names[i].text);
    }
    if (layout_.columns.empty() && errors_.empty()) {
      refuse(header_place(), "", "a column that is called by a signal's name, or a mapping file",
             "none", "see docs/replay.md, or ovenproof replay --help");
    }
    return std::move(layout_);
  }

 private:
  [[nodiscard]] machine::Place header_place() const {
    return layout_.head.names.empty() ? machine::Place{} : layout_.head.names.front().at;
  }

  void refuse(machine::Place at, std::string key, std::string expected, std::string found,
              std::string hint = "") {
    errors_.push_back(
        {file_, at, std::move(key), std::move(expected), std::move(found), std::move(hint), {}});
  }

  /// The only column called so. A second one is reported.
  std::optional<std::size_t> only(std::string_view name) {
    std::optional<std::size_t> found;
    for (std::size_t i = 0; i < layout_.head.names.size(); ++i) {
      const Cell& cell = layout_.head.names[i];
      if (cell.text != name) continue;
      if (found) {
        refuse(cell.at, "", "each column of the mapping once",
               fmt::format("a second column \"{}\"", machine::shown(cell.text)));
        break;
      }
      found = i;
    }
    return found;
  }

  void missing(const std::string& name, const std::string& key) {
    std::vector<std::string> names;
    for (const Cell& cell : layout_.head.names) names.push_back(cell.text);
    const std::string near = machine::nearest(name, names);
    refuse(header_place(), key, fmt::format("a column \"{}\"", machine::shown(name)), "none",
           near.empty() ? "" : fmt::format("did you mean {}?", machine::shown(near)));
  }

  void find_time() {
    if (!mapping_.time_column.empty()) {
      if (const auto cell = only(mapping_.time_column)) {
        take_time(*cell);
      } else {
        missing(mapping_.time_column, "time.column");
      }
      return;
    }
    for (std::size_t i = 0; i < layout_.head.names.size(); ++i) {
      const std::string name = lower(layout_.head.names[i].text);
      const std::string_view plain = split_header(name).name;
      if (plain == "time" || plain == "time_s" || plain == "time_ms" || plain == "timestamp" ||
          plain == "date") {
        take_time(i);
        return;
      }
    }
    refuse(header_place(), "", "a column \"time\"", "none",
           "name it in a mapping file under time.column");
  }

  void take_time(std::size_t cell) {
    layout_.time_cell = cell;
    used_[cell] = true;
  }

  void find_mapped(const ColumnMapping& column) {
    const auto cell = only(column.column);
    if (cell) {
      used_[*cell] = true;
      layout_.columns.push_back({*cell, column});
    } else if (mapping_.missing_is_assumed) {
      layout_.missing.push_back(column.column);
    } else {
      missing(column.column, std::string(name_of(column.signal)));
    }
  }

  void find_by_name() {
    for (std::size_t i = 0; i < layout_.head.names.size(); ++i) {
      if (used_[i]) continue;
      const Cell& cell = layout_.head.names[i];
      const auto column = by_name(cell.text, machine_);
      if (!column) continue;
      const bool again = std::any_of(
          layout_.columns.begin(), layout_.columns.end(),
          [&](const Column& other) { return other.mapping.signal.probe == column->signal.probe; });
      if (again) {
        refuse(cell.at, "", "each signal once",
               fmt::format("a second column \"{}\"", machine::shown(cell.text)));
        continue;
      }
      used_[i] = true;
      layout_.columns.push_back({i, *column});
    }
  }

  const std::string& file_;
  const Mapping& mapping_;
  const machine::Machine& machine_;
  std::vector<machine::Error>& errors_;
  Layout layout_;
  std::vector<bool> used_;
};

}  // namespace

Layout lay_out(LogHead head, const std::string& file, const Mapping& mapping,
               const machine::Machine& machine, std::vector<machine::Error>& errors) {
  return Finder(std::move(head), file, mapping, machine, errors).find();
}

}  // namespace ovenproof::replay
