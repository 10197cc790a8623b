#include "sim/sizing/sweep.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <optional>
#include <set>

#include <fmt/format.h>

#include "sim/machine/given.hpp"
#include "sim/machine/load.hpp"
#include "sim/machine/suggest.hpp"
#include "sim/parallel/run_all.hpp"

namespace ovenproof::sizing {

namespace {

using machine::Dimension;
using machine::Key;
using machine::KeyKind;
using machine::Node;

bool numeric(const Key& key) { return key.kind == KeyKind::quantity || key.kind == KeyKind::count; }

/// "programme.segments[2].target" -> "programme.segments[].target" and 2; other paths as they are.
std::pair<std::string, std::optional<std::size_t>> generic(const std::string& path) {
  const std::size_t open = path.find('[');
  const std::size_t close = path.find(']');
  if (open == std::string::npos || close == std::string::npos || close < open) return {path, {}};
  std::size_t item = 0;
  const char* const end = path.data() + close;
  const auto [stop, failed] = std::from_chars(path.data() + open + 1, end, item);
  if (failed != std::errc() || stop != end) return {path, {}};
  return {path.substr(0, open) + "[]" + path.substr(close + 1), item};
}

std::string trimmed(std::string_view text) {
  const std::size_t first = text.find_first_not_of(' ');
  if (first == std::string_view::npos) return "";
  return std::string(text.substr(first, text.find_last_not_of(' ') - first + 1));
}

/// What stands behind the number: "120 L/min" -> " L/min".
std::string_view unit_of(std::string_view text) {
  const std::size_t end = text.find_first_not_of("+-.0123456789");
  return end == std::string_view::npos ? std::string_view{} : text.substr(end);
}

bool digits_only(std::string_view text) {
  return !text.empty() &&
         std::all_of(text.begin(), text.end(), [](char c) { return c >= '0' && c <= '9'; });
}

/// Reads one argument; collects what is wrong with it.
class AxisReader {
 public:
  AxisReader(const std::string& argument, std::vector<std::string>& errors)
      : argument_(argument), errors_(errors) {}

  std::optional<SweepAxis> read() {
    const std::size_t equals = argument_.find('=');
    const std::size_t dots = argument_.find("..", equals == std::string::npos ? 0 : equals);
    if (equals == std::string::npos || dots == std::string::npos) {
      complain("expected KEY=A..B or KEY=A..B/N, such as \"purge.purge_flow=60 L/min..120 L/min\"");
      return std::nullopt;
    }
    axis_.path = trimmed(std::string_view(argument_).substr(0, equals));
    if (!find()) return std::nullopt;
    std::string first = trimmed(std::string_view(argument_).substr(equals + 1, dots - equals - 1));
    std::string last = trimmed(std::string_view(argument_).substr(dots + 2));
    std::size_t steps = usual_sweep_steps;
    const std::size_t slash = last.rfind('/');
    const std::string count =
        slash == std::string::npos ? "" : trimmed(std::string_view(last).substr(slash + 1));
    if (digits_only(count)) {
      steps = count.size() > 4 ? most_sweep_points + 1 : std::stoul(count);
      last = trimmed(std::string_view(last).substr(0, slash));
    }
    if (steps < 2 || steps > most_sweep_points) {
      complain(fmt::format("expected 2 to {} values", most_sweep_points));
      return std::nullopt;
    }
    if (plain(first)) first += std::string(unit_of(last));
    const auto a = value(first);
    const auto b = value(last);
    if (!a || !b || !spread(*a, *b, steps)) return std::nullopt;
    return std::move(axis_);
  }

 private:
  void complain(const std::string& what) {
    errors_.push_back(fmt::format("--sweep {}: {}", machine::shown(argument_, 80), what));
  }

  bool find() {
    const auto [path, item] = generic(axis_.path);
    axis_.key = machine::find_key(path);
    const bool in_list = path.find("[]") != std::string::npos;
    if (axis_.key != nullptr && numeric(*axis_.key) && in_list == item.has_value() &&
        (!in_list || (*item >= 1 && *item <= settings::max_segments))) {
      return true;
    }
    if (axis_.key != nullptr && !numeric(*axis_.key)) {
      complain("that key holds no number");
    } else {
      std::vector<std::string> names;
      for (const Key& key : machine::all_keys()) {
        if (numeric(key)) names.push_back(machine::full_path(key.path));
      }
      std::string near = machine::nearest(axis_.path, names);
      if (near.empty()) {
        for (const std::string& name : names) {
          if (name.ends_with("." + axis_.path)) near = name;
        }
      }
      complain(fmt::format("there is no such key{}",
                           near.empty() ? "" : fmt::format("; did you mean {}?", near)));
    }
    return false;
  }

  [[nodiscard]] bool plain(const std::string& text) const {
    return axis_.key->kind == KeyKind::quantity && axis_.key->dimension != Dimension::number &&
           std::holds_alternative<double>(machine::parse_quantity(text, Dimension::number));
  }

  std::optional<double> value(const std::string& text) {
    const Key& key = *axis_.key;
    const Dimension dimension = key.kind == KeyKind::count ? Dimension::number : key.dimension;
    const auto parsed = machine::parse_quantity(text, dimension);
    const double* const number = std::get_if<double>(&parsed);
    if (number == nullptr || *number < key.minimum || *number > key.maximum ||
        (key.kind == KeyKind::count && *number != std::floor(*number))) {
      complain(fmt::format("expected {}, found \"{}\"", machine::accepts_text(key),
                           machine::shown(text)));
      return std::nullopt;
    }
    return *number;
  }

  /// To twelve digits of the unit in which it is shown, so that files and tables stay readable.
  [[nodiscard]] double rounded(double value) const {
    const machine::Unit* unit = machine::find_unit(axis_.key->dimension, axis_.key->unit);
    const machine::Unit one{"", 1.0};
    if (unit == nullptr) unit = &one;
    const std::string text = fmt::format("{:.12g}", machine::to_unit(value, *unit));
    double shown = 0.0;
    std::from_chars(text.data(), text.data() + text.size(), shown);
    return machine::from_unit(shown, *unit);
  }

  /// Values of a count or with a resolution are rounded to it, and must still differ.
  bool spread(double a, double b, std::size_t steps) {
    const double grid = axis_.key->kind == KeyKind::count ? 1.0 : axis_.key->resolution;
    for (std::size_t i = 0; i < steps; ++i) {
      const double share = static_cast<double>(i) / static_cast<double>(steps - 1);
      double value = i + 1 == steps ? b : a + share * (b - a);
      value = grid > 0.0 ? std::round(value / grid) * grid : rounded(value);
      axis_.values.push_back(value);
    }
    const std::set<double> different(axis_.values.begin(), axis_.values.end());
    if (different.size() == steps) return true;
    complain(fmt::format("there are no {} different values from {} to {}", steps, axis_.text(0),
                         axis_.text(steps - 1)));
    return false;
  }

  const std::string& argument_;
  std::vector<std::string>& errors_;
  SweepAxis axis_;
};

/// The node of a path, made where it is missing; null if something else is in its place.
Node* node_of(Node& root, const std::string& path) {
  Node* node = &root;
  for (std::size_t begin = 0; begin <= path.size();) {
    const std::size_t end = std::min(path.find('.', begin), path.size());
    std::string name = path.substr(begin, end - begin);
    std::optional<std::size_t> item;
    if (const std::size_t open = name.find('['); open != std::string::npos) {
      item = std::stoul(name.substr(open + 1)) - 1;
      name.resize(open);
    }
    if (node->kind == Node::Kind::null) node->kind = Node::Kind::map;
    if (node->kind != Node::Kind::map) return nullptr;
    auto child = std::find_if(node->children.begin(), node->children.end(),
                              [&name](const Node& each) { return each.key == name; });
    if (child == node->children.end()) {
      Node fresh;
      fresh.key = name;
      fresh.at = fresh.key_at = node->at;
      child = node->children.insert(node->children.end(), std::move(fresh));
    }
    node = &*child;
    if (item) {
      if (node->kind != Node::Kind::sequence || *item >= node->children.size()) return nullptr;
      node = &node->children[*item];
    }
    begin = end + 1;
  }
  return node;
}

void set_value(Node& node, std::string text) {
  node.kind = Node::Kind::scalar;
  node.text = std::move(text);
  node.quoted = false;
  node.children.clear();
}

}  // namespace

std::string SweepAxis::text(std::size_t i) const {
  if (key->kind == KeyKind::count) return fmt::format("{:.0f}", values[i]);
  return machine::format_exactly(values[i], key->dimension, key->unit);
}

std::variant<std::vector<SweepAxis>, std::vector<std::string>> read_sweeps(
    const std::vector<std::string>& arguments) {
  std::vector<SweepAxis> axes;
  std::vector<std::string> errors;
  if (arguments.size() > most_sweep_axes) {
    errors.push_back(fmt::format("--sweep: expected at most {} settings, found {}", most_sweep_axes,
                                 arguments.size()));
  }
  for (const std::string& argument : arguments) {
    if (auto axis = AxisReader(argument, errors).read()) axes.push_back(std::move(*axis));
  }
  std::size_t points = 1;
  for (std::size_t i = 0; i < axes.size(); ++i) {
    points *= axes[i].values.size();
    if (i > 0 && axes[i].path == axes[0].path) {
      errors.push_back(fmt::format("--sweep: {} is given twice", axes[i].path));
    }
  }
  if (errors.empty() && points > most_sweep_points) {
    errors.push_back(
        fmt::format("--sweep: expected at most {} points, found {}", most_sweep_points, points));
  }
  if (!errors.empty()) return errors;
  return axes;
}

std::variant<std::vector<SweepPoint>, std::vector<machine::Error>> sweep_points(
    const machine::Tree& tree, const std::string& file, const std::vector<SweepAxis>& axes) {
  std::size_t count = 1;
  for (const SweepAxis& axis : axes) count *= axis.values.size();
  std::vector<SweepPoint> points;
  std::vector<machine::Error> errors;
  for (std::size_t i = 0; i < count; ++i) {
    machine::Tree changed = tree;
    SweepPoint point;
    std::string where;
    std::size_t rest = i;
    for (std::size_t a = axes.size(); a-- > 0;) {
      point.at.insert(point.at.begin(), rest % axes[a].values.size());
      rest /= axes[a].values.size();
    }
    for (std::size_t a = 0; a < axes.size(); ++a) {
      const std::string text = axes[a].text(point.at[a]);
      where += fmt::format("{}{} = {}", a == 0 ? "" : ", ", axes[a].path, text);
      Node* const node = node_of(changed.root, axes[a].path);
      if (node != nullptr) {
        set_value(*node, text);
      } else if (i == 0) {
        errors.push_back({file,
                          changed.root.at,
                          axes[a].path,
                          "a key that the file can have",
                          "no such item",
                          "",
                          {}});
      }
    }
    auto loaded = machine::load_tree(std::move(changed), file);
    if (auto* wrong = std::get_if<std::vector<machine::Error>>(&loaded)) {
      for (machine::Error& each : *wrong) {
        each.hint += fmt::format("{}in the sweep, with {}", each.hint.empty() ? "" : "; ", where);
        errors.push_back(std::move(each));
      }
    } else {
      point.machine = std::move(std::get<machine::Machine>(loaded));
      points.push_back(std::move(point));
    }
  }
  if (!errors.empty()) return errors;
  return points;
}

std::vector<Sizing> size_all(const std::vector<SweepPoint>& points, const Options& options,
                             const std::function<void(std::size_t done)>& finished) {
  std::vector<Sizing> all(points.size());
  Options one = options;
  one.jobs = 1;
  std::vector<std::function<void()>> tasks;
  for (std::size_t i = 0; i < points.size(); ++i) {
    tasks.emplace_back([&, i] { all[i] = size(points[i].machine, one); });
  }
  parallel::run_all(tasks, options.jobs, finished);
  return all;
}

}  // namespace ovenproof::sizing
