#include "sim/scenario/oven_bank.hpp"

#include <filesystem>
#include <stdexcept>
#include <utility>

#include <fmt/format.h>

#include "sim/hazards/hazard_watch.hpp"
#include "sim/machine/load.hpp"
#include "sim/machine/text_file.hpp"

namespace ovenproof::scenario {
namespace {

using machine::Error;
using machine::Node;
using machine::Place;

/// Lines of the override are moved here while its nodes stand in the machine's tree, so that errors
/// about them are found again. No machine file is that long.
constexpr int override_lines = 1'000'000;

void move_lines(Node& node) {
  node.at.line += override_lines;
  node.key_at.line += override_lines;
  for (Node& each : node.children) move_lines(each);
}

/// Groups are merged key by key; everything else, lists too, takes the place of what stood there.
void merge(Node& into, const Node& over) {
  for (const Node& each : over.children) {
    Node* found = nullptr;
    for (Node& old : into.children) {
      if (old.key == each.key) found = &old;
    }
    if (found == nullptr) {
      into.children.push_back(each);
    } else if (found->kind == Node::Kind::map && each.kind == Node::Kind::map) {
      merge(*found, each);
    } else {
      *found = each;
    }
  }
}

bool moved(Place at) { return at.line > override_lines; }

/// Errors about the override name the scenario file and the key there; errors about the machine say
/// that it is overridden, and where.
void restore(std::vector<Error>& errors, const std::string& file, Place override_at) {
  for (Error& error : errors) {
    const bool ours = moved(error.at);
    if (!ours) {
      error.hint += fmt::format("{}with the override of {}:{}", error.hint.empty() ? "" : "; ",
                                machine::shown(file, 4096), override_at.line);
    }
    if (ours) {
      error.at.line -= override_lines;
      error.key = error.key.empty() ? "override" : "override." + error.key;
    }
    const std::string machine_file = error.file;
    if (ours) error.file = file;
    for (machine::Related& other : error.related) {
      if (moved(other.at)) {
        other.at.line -= override_lines;
        if (!ours) other = {{}, other.key, fmt::format("{} (overridden)", other.what)};
      } else if (ours && other.at.line > 0) {
        other = {
            {},
            other.key,
            fmt::format("{} ({}:{}:{})", other.what, machine_file, other.at.line, other.at.column)};
      }
    }
  }
}

void write_down(const Node& node, std::string& out) {
  out +=
      fmt::format("{}:{}:{}:{}{{", node.key, static_cast<int>(node.kind), node.quoted, node.text);
  for (const Node& each : node.children) write_down(each, out);
  out += '}';
}

OvenBank::Result load(const std::string& path, const Node* override_node, const std::string& file) {
  auto text = machine::read_text_file(path);
  if (auto* error = std::get_if<Error>(&text)) return std::vector<Error>{std::move(*error)};
  machine::Tree tree = machine::read_yaml(std::get<std::string>(text), path);
  if (override_node != nullptr && tree.root.kind == Node::Kind::map) {
    Node over = *override_node;
    move_lines(over);
    merge(tree.root, over);
  }
  machine::Loaded loaded = machine::load_tree(std::move(tree), path);
  if (auto* errors = std::get_if<std::vector<Error>>(&loaded)) {
    if (override_node != nullptr) restore(*errors, file, override_node->key_at);
    return std::move(*errors);
  }
  try {
    return make_oven(std::move(std::get<machine::Machine>(loaded)));
  } catch (const std::invalid_argument& refused) {
    std::vector<Error> errors{
        {path, {}, "", "an oven that can be simulated", refused.what(), "", {}}};
    if (override_node != nullptr) restore(errors, file, override_node->key_at);
    return errors;
  }
}

}  // namespace

std::shared_ptr<const OvenContext> make_oven(machine::Machine machine) {
  auto context = std::make_shared<OvenContext>();
  context->machine_name = std::filesystem::path(machine.path).stem().string();
  context->oven = rig::Oven{machine.plant, machine.settings, {}, {}};
  context->period_ms = rig::Rig(context->oven).period_ms();
  context->table = hazards::signal_table(context->oven);
  context->hazards = hazards::compile_hazards(context->table, context->period_ms);
  context->machine = std::move(machine);
  return context;
}

OvenBank::Result OvenBank::get(const std::string& machine_path, const Node* override_node,
                               const std::string& file) {
  std::string id = machine_path + '\n';
  if (override_node != nullptr) write_down(*override_node, id);
  if (const auto known = known_.find(id); known != known_.end()) return known->second;
  Result result = load(machine_path, override_node, file);
  // Errors name the file that asked, so they are made anew for each.
  if (std::holds_alternative<std::shared_ptr<const OvenContext>>(result)) known_[id] = result;
  return result;
}

}  // namespace ovenproof::scenario
