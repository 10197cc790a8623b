#include "sim/replay/mapping.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <utility>

#include <fmt/format.h>

#include "sim/machine/suggest.hpp"
#include "sim/machine/text_file.hpp"
#include "sim/machine/yaml_tree.hpp"

namespace ovenproof::replay {
namespace {

using machine::Error;
using machine::Node;

class Reader {
 public:
  Reader(std::string file, const machine::Machine& machine)
      : file_(std::move(file)), machine_(machine) {
    mapping_.file = file_;
  }

  LoadedMapping read(std::string_view text) {
    machine::Tree tree = machine::read_yaml(text, file_);
    errors_ = std::move(tree.errors);
    if (tree.root.kind == Node::Kind::map) {
      each_key(tree.root, "",
               {{"time", [this](const Node& n) { read_time(n); }},
                {"header_line", [this](const Node& n) { read_header_line(n); }},
                {"delimiter", [this](const Node& n) { read_delimiter(n); }},
                {"decimal", [this](const Node& n) { read_decimal(n); }},
                {"between_rows", [this](const Node& n) { read_between_rows(n); }},
                {"missing_columns", [this](const Node& n) { read_missing_columns(n); }},
                {"columns", [this](const Node& n) { read_columns(n); }},
                {"assume", [this](const Node& n) { read_assumptions(n); }}});
    } else if (errors_.empty()) {
      refuse(tree.root.at, "", "keys: time, columns, ...", machine::described(tree.root));
    }
    if (!errors_.empty()) return std::move(errors_);
    return std::move(mapping_);
  }

 private:
  using Keys = std::vector<std::pair<std::string, std::function<void(const Node&)>>>;

  void refuse(machine::Place at, std::string key, std::string expected, std::string found,
              std::string hint = "") {
    if (errors_.size() >= machine::most_errors) return;
    errors_.push_back(
        {file_, at, std::move(key), std::move(expected), std::move(found), std::move(hint), {}});
  }

  void each_key(const Node& map, const std::string& path, const Keys& keys) {
    std::vector<std::string> names;
    for (const auto& [name, read] : keys) names.push_back(name);
    for (const Node& child : map.children) {
      const auto known = std::find_if(keys.begin(), keys.end(),
                                      [&](const auto& key) { return key.first == child.key; });
      if (known != keys.end()) {
        if (child.kind != Node::Kind::refused) known->second(child);
        continue;
      }
      const std::string near = machine::nearest(child.key, names);
      refuse(child.key_at, path + machine::shown(child.key),
             fmt::format("one of {}", fmt::join(names, ", ")), "an unknown key",
             near.empty() ? "" : fmt::format("did you mean {}?", near));
    }
  }

  /// The text of a scalar; reports anything else.
  std::optional<std::string> scalar(const Node& node, const std::string& key,
                                    const std::string& expected) {
    if (node.kind == Node::Kind::scalar) return node.text;
    if (node.kind != Node::Kind::refused) refuse(node.at, key, expected, machine::described(node));
    return std::nullopt;
  }

  std::optional<double> number(const Node& node, const std::string& key) {
    const auto text = scalar(node, key, "a number");
    if (!text) return std::nullopt;
    const auto value = parse_number(*text, '.');
    if (!value || std::fabs(*value) > 1e12) {
      refuse(node.at, key, "a decimal number within 1e12", machine::described(node));
      return std::nullopt;
    }
    return value;
  }

  void read_time(const Node& node) {
    if (node.kind != Node::Kind::map) {
      refuse(node.at, "time", "keys: column, format", machine::described(node));
      return;
    }
    each_key(node, "time.",
             {{"column",
               [this](const Node& n) {
                 if (auto text = scalar(n, "time.column", "the name of a column")) {
                   mapping_.time_column = *text;
                 }
               }},
              {"format", [this](const Node& n) {
                 const std::string expected = "s, ms, iso8601, clock or auto";
                 const auto text = scalar(n, "time.format", expected);
                 if (!text) return;
                 if (const auto format = time_format(*text)) {
                   mapping_.time_format = *format;
                 } else {
                   refuse(n.at, "time.format", expected, machine::described(n));
                 }
               }}});
  }

  void read_header_line(const Node& node) {
    const auto value = number(node, "header_line");
    if (!value) return;
    if (*value < 1.0 || *value > 100.0 || *value != std::floor(*value)) {
      refuse(node.at, "header_line", "a whole number from 1 to 100", machine::described(node));
      return;
    }
    mapping_.header_line = static_cast<int>(*value);
  }

  void read_delimiter(const Node& node) {
    const std::string expected = "one of \",\", \";\", \"\\t\" and \"|\"";
    const auto text = scalar(node, "delimiter", expected);
    if (!text) return;
    if (text->size() == 1 && std::string_view(",;\t|").find(*text) != std::string_view::npos) {
      mapping_.delimiter = text->front();
    } else {
      refuse(node.at, "delimiter", expected, machine::described(node));
    }
  }

  void read_decimal(const Node& node) {
    const auto text = scalar(node, "decimal", "\".\" or \",\"");
    if (!text) return;
    if (*text == "." || *text == ",") {
      mapping_.decimal = text->front();
    } else {
      refuse(node.at, "decimal", "\".\" or \",\"", machine::described(node));
    }
  }

  /// One of two words; true for the second.
  bool second_of(const Node& node, const std::string& key, const char* first, const char* second) {
    const std::string expected = fmt::format("{} or {}", first, second);
    const auto text = scalar(node, key, expected);
    if (text && *text != first && *text != second) {
      refuse(node.at, key, expected, machine::described(node));
    }
    return text == second;
  }

  void read_between_rows(const Node& node) {
    mapping_.hold_analog = second_of(node, "between_rows", "line", "hold");
  }

  void read_missing_columns(const Node& node) {
    mapping_.missing_is_assumed = second_of(node, "missing_columns", "refuse", "assume");
  }

  std::optional<Signal> signal(const std::string& name, machine::Place at, const std::string& key) {
    const auto found = find_signal(name, machine_.tags);
    if (found) return found;
    const std::string near = nearest_signal(name);
    refuse(at, key, "the name of a signal or a tag of the machine",
           fmt::format("\"{}\"", machine::shown(name)),
           near.empty() ? "docs/replay.md lists them" : fmt::format("did you mean {}?", near));
    return std::nullopt;
  }

  void read_columns(const Node& node) {
    if (node.kind != Node::Kind::map) {
      refuse(node.at, "columns", "for each column its signal", machine::described(node));
      return;
    }
    for (const Node& child : node.children) {
      if (child.kind == Node::Kind::refused) continue;
      read_column(child, fmt::format("columns.{}", machine::shown(child.key)));
    }
  }

  void read_column(const Node& node, const std::string& key) {
    ColumnMapping column;
    column.column = node.key;
    column.at = node.key_at;
    const Node* name = &node;
    const Node* unit = nullptr;
    if (node.kind == Node::Kind::map) {
      name = nullptr;
      each_key(node, key + ".",
               {{"signal", [&](const Node& n) { name = &n; }},
                {"unit", [&](const Node& n) { unit = &n; }},
                {"scale",
                 [&](const Node& n) { column.scale = number(n, key + ".scale").value_or(1.0); }},
                {"offset",
                 [&](const Node& n) { column.offset = number(n, key + ".offset").value_or(0.0); }},
                {"invert", [&](const Node& n) { read_invert(n, key + ".invert", column); }}});
      if (name == nullptr) {
        refuse(node.at, key, "the key signal", "none");
        return;
      }
    }
    const auto text = scalar(*name, key, "the name of a signal, or keys: signal, unit, ...");
    if (!text) return;
    const auto found = signal(*text, name->at, key);
    if (!found) return;
    column.signal = *found;
    check_and_add(std::move(column), node, unit, key);
  }

  void read_invert(const Node& node, const std::string& key, ColumnMapping& column) {
    column.invert = second_of(node, key, "false", "true");
  }

  void check_and_add(ColumnMapping column, const Node& node, const Node* unit,
                     const std::string& key) {
    const bool numeric = rig::probes()[column.signal.probe].kind == rig::ProbeKind::number;
    if (column.invert && rig::probes()[column.signal.probe].kind != rig::ProbeKind::boolean) {
      refuse(node.at, key + ".invert", "invert for contacts and coils only", "a number or state");
    }
    if (!numeric && (column.scale != 1.0 || column.offset != 0.0)) {
      refuse(node.at, key, "scale and offset for numbers only", "a contact, coil or state");
    }
    if (column.scale == 0.0) refuse(node.at, key + ".scale", "a scale other than 0", "0");
    std::string symbol;
    if (unit != nullptr) symbol = scalar(*unit, key + ".unit", "a unit").value_or("");
    const auto reading = reading_unit(column.signal, symbol);
    if (!reading) {
      refuse(unit->at, key + ".unit", units_that_fit(column.signal),
             fmt::format("\"{}\"", machine::shown(symbol)));
      return;
    }
    column.unit = *reading;
    for (const ColumnMapping& other : mapping_.columns) {
      if (other.signal.probe != column.signal.probe) continue;
      refuse(node.key_at, key, "each signal once",
             fmt::format("{} again, after column {}", name_of(column.signal),
                         machine::shown(other.column)));
      return;
    }
    mapping_.columns.push_back(std::move(column));
  }

  void read_assumptions(const Node& node) {
    if (node.kind != Node::Kind::map) {
      refuse(node.at, "assume", "for each input its value", machine::described(node));
      return;
    }
    for (const Node& child : node.children) {
      if (child.kind == Node::Kind::refused) continue;
      read_assumption(child, fmt::format("assume.{}", machine::shown(child.key)));
    }
  }

  void read_assumption(const Node& node, const std::string& key) {
    const auto found = signal(node.key, node.key_at, key);
    if (!found) return;
    if (found->role != Role::contact_in && found->role != Role::analog_in) {
      refuse(node.key_at, key, "an input of the controller", "another signal");
      return;
    }
    const auto text = scalar(node, key, "a value with its unit");
    if (!text) return;
    const bool contact = found->role == Role::contact_in;
    const std::size_t blank = text->find(' ');
    const auto value = parse_number(std::string_view(*text).substr(0, blank), '.');
    const auto unit =
        reading_unit(*found, blank == std::string::npos ? "" : text->substr(blank + 1));
    if (!value || !unit || (contact && *value != 0.0 && *value != 1.0) ||
        (!contact && blank == std::string::npos)) {
      refuse(node.at, key,
             contact ? "0 or 1" : fmt::format("a number with {}", units_that_fit(*found)),
             machine::described(node));
      return;
    }
    mapping_.assumed[found->probe] = {*unit, *value, *text};
  }

  std::string file_;
  const machine::Machine& machine_;
  Mapping mapping_;
  std::vector<Error> errors_;
};

}  // namespace

LoadedMapping parse_mapping(std::string_view text, const std::string& name,
                            const machine::Machine& machine) {
  return Reader(name, machine).read(text);
}

LoadedMapping load_mapping(const std::filesystem::path& path, const machine::Machine& machine) {
  auto text = machine::read_text_file(path);
  if (auto* error = std::get_if<Error>(&text)) return std::vector<Error>{std::move(*error)};
  return parse_mapping(std::get<std::string>(text), path.string(), machine);
}

HeaderName split_header(std::string_view header) {
  const std::size_t open = header.rfind(" [");
  if (open == std::string_view::npos || !header.ends_with(']')) return {header, ""};
  return {header.substr(0, open), header.substr(open + 2, header.size() - open - 3)};
}

std::optional<ColumnMapping> by_name(std::string_view header, const machine::Machine& machine) {
  const HeaderName parts = split_header(header);
  const auto signal = find_signal(parts.name, machine.tags);
  if (!signal) return std::nullopt;
  const auto unit = reading_unit(*signal, parts.unit);
  if (!unit) return std::nullopt;
  ColumnMapping column;
  column.column = header;
  column.signal = *signal;
  column.unit = *unit;
  return column;
}

}  // namespace ovenproof::replay
