#pragma once
#include <string>
#include <utility>
#include <vector>

#include "sim/machine/yaml_tree.hpp"
#include "sim/scenario/reporter.hpp"

/// Tables: one scenario over many values, each row a case of its own.
namespace ovenproof::scenario {

/// One column's value in one row.
struct Cell {
  std::string column;
  std::string text;
  bool quoted = false;
};
using Row = std::vector<Cell>;

/// The most cases one file may hold.
inline constexpr std::size_t most_rows = 2000;

/// The rows of a `table:`. A map gives the cross product of its columns, the last one running
/// fastest; a list of maps gives the cross product of each of them, one after the other. All maps
/// have the same columns. What is wrong is reported, and left out.
std::vector<Row> expand_table(const machine::Node& table, Reporter& reporter);

/// The tree with `{column}` replaced by the row's value in all its texts. Columns that were used
/// are added to `used`.
machine::Node substitute(const machine::Node& node, const Row& row, std::vector<std::string>& used);

/// What tells the row from others: the value of the column `case` if there is one, else
/// `phase=soak, opening=20 ms`.
std::string row_label(const Row& row);

}  // namespace ovenproof::scenario
