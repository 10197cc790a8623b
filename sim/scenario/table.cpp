#include "sim/scenario/table.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "sim/properties/signal_table.hpp"

namespace ovenproof::scenario {
namespace {

using machine::Node;

bool good_column(const std::string& name) {
  return properties::is_name(name) && name.find('.') == std::string::npos;
}

/// The values of one column of one map: a list, or a single value.
std::vector<Cell> values_of(const Node& node, const std::string& key, Reporter& reporter) {
  std::vector<Cell> cells;
  const auto take = [&](const Node& value) {
    if (value.kind == Node::Kind::scalar) {
      cells.push_back({node.key, value.text, value.quoted});
    } else {
      reporter.report(value, key, "a value or a list of values", machine::described(value));
    }
  };
  if (node.kind == Node::Kind::sequence) {
    for (const Node& value : node.children) take(value);
    if (node.children.empty()) reporter.report(node, key, "at least one value", "an empty list");
  } else {
    take(node);
  }
  return cells;
}

void add_product(const Node& map, const std::string& path, Reporter& reporter,
                 std::vector<Row>& rows) {
  std::vector<Row> product{Row{}};
  for (const Node& column : map.children) {
    const std::string key = path + "." + machine::shown(column.key);
    if (!good_column(column.key)) {
      reporter.add({reporter.file(),
                    column.key_at,
                    key,
                    "a column name of letters, digits and _",
                    fmt::format("\"{}\"", machine::shown(column.key)),
                    "",
                    {}});
      continue;
    }
    const std::vector<Cell> values = values_of(column, key, reporter);
    std::vector<Row> next;
    for (const Row& row : product) {
      for (const Cell& cell : values) {
        if (next.size() > most_rows) break;
        next.push_back(row);
        next.back().push_back(cell);
      }
    }
    product = std::move(next);
  }
  for (Row& row : product) {
    if (rows.size() <= most_rows) rows.push_back(std::move(row));
  }
}

std::vector<std::string> columns_of(const Node& map) {
  std::vector<std::string> names;
  for (const Node& column : map.children) names.push_back(column.key);
  std::sort(names.begin(), names.end());
  return names;
}

std::string substitute_text(const std::string& text, const Row& row,
                            std::vector<std::string>& used) {
  std::string out;
  std::size_t from = 0;
  while (from < text.size()) {
    const std::size_t open = text.find('{', from);
    const std::size_t close = open == std::string::npos ? open : text.find('}', open);
    if (close == std::string::npos) break;
    const std::string name = text.substr(open + 1, close - open - 1);
    const auto cell =
        std::find_if(row.begin(), row.end(), [&](const Cell& c) { return c.column == name; });
    if (cell == row.end()) {
      out += text.substr(from, open + 1 - from);
      from = open + 1;
    } else {
      out += text.substr(from, open - from) + cell->text;
      from = close + 1;
      used.push_back(name);
    }
  }
  return out + text.substr(std::min(from, text.size()));
}

}  // namespace

std::vector<Row> expand_table(const Node& table, Reporter& reporter) {
  std::vector<Row> rows;
  if (table.kind == Node::Kind::map) {
    add_product(table, "table", reporter, rows);
  } else if (table.kind == Node::Kind::sequence) {
    std::size_t number = 0;
    for (const Node& item : table.children) {
      const std::string key = fmt::format("table[{}]", ++number);
      if (item.kind != Node::Kind::map) {
        reporter.report(item, key, "a row: columns with their values", machine::described(item));
      } else if (columns_of(item) != columns_of(table.children.front())) {
        reporter.report(
            item, key, "the same columns as in the first row", "others",
            fmt::format("columns: {}", fmt::join(columns_of(table.children.front()), ", ")));
      } else {
        add_product(item, key, reporter, rows);
      }
    }
  } else {
    reporter.report(table, "table", "columns with lists of values, or a list of rows",
                    machine::described(table));
  }
  if (rows.size() > most_rows) {
    reporter.report(table, "table", fmt::format("at most {} rows", most_rows), "more");
    rows.resize(most_rows);
  }
  return rows;
}

Node substitute(const Node& node, const Row& row, std::vector<std::string>& used) {
  Node out = node;
  // Plain `{column}` is a map with an empty value to YAML; what was meant is clear.
  if (node.kind == Node::Kind::map && node.children.size() == 1 &&
      node.children.front().kind == Node::Kind::null) {
    const std::string& name = node.children.front().key;
    const auto cell =
        std::find_if(row.begin(), row.end(), [&](const Cell& c) { return c.column == name; });
    if (cell != row.end()) {
      out.kind = Node::Kind::scalar;
      out.text = cell->text;
      out.quoted = cell->quoted;
      out.children.clear();
      used.push_back(name);
      return out;
    }
  }
  if (node.kind == Node::Kind::scalar) {
    const std::size_t before = used.size();
    out.text = substitute_text(node.text, row, used);
    // A value that is nothing but a column is what stands in the table.
    if (used.size() == before + 1 && node.text == "{" + used.back() + "}") {
      const auto cell = std::find_if(row.begin(), row.end(),
                                     [&](const Cell& c) { return c.column == used.back(); });
      out.quoted = cell->quoted;
    }
  }
  for (Node& each : out.children) each = substitute(each, row, used);
  return out;
}

std::string row_label(const Row& row) {
  std::string label;
  for (const Cell& cell : row) {
    if (cell.column == "case") return cell.text;
    if (!label.empty()) label += ", ";
    label += cell.column + "=" + cell.text;
  }
  return label;
}

}  // namespace ovenproof::scenario
