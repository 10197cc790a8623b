#include "sim/app/scenario_files.hpp"

#include <algorithm>
#include <array>
#include <filesystem>
#include <set>
#include <stdexcept>

#include "sim/machine/load.hpp"
#include "sim/machine/text_file.hpp"
#include "sim/machine/yaml_tree.hpp"
#include "sim/scenario/oven_bank.hpp"
#include "sim/scenario/read.hpp"

namespace ovenproof::app {
namespace {

namespace fs = std::filesystem;

constexpr std::array<std::string_view, 4> scenario_marks{"shows", "steps", "expect", "override"};
constexpr std::array<std::string_view, 5> machine_marks{"options", "programme", "heater", "purge",
                                                        "limiter"};

template <std::size_t count>
bool any_key(const machine::Node& map, const std::array<std::string_view, count>& marks) {
  return std::any_of(map.children.begin(), map.children.end(), [&](const machine::Node& each) {
    return std::find(marks.begin(), marks.end(), each.key) != marks.end();
  });
}

/// Files below a folder, in the order of their names. Links to folders are not followed.
std::vector<std::string> files_below(const fs::path& folder, std::vector<machine::Error>& errors) {
  std::vector<std::string> files;
  std::error_code failure;
  fs::recursive_directory_iterator at(folder, failure);
  for (; !failure && at != fs::recursive_directory_iterator(); at.increment(failure)) {
    const std::string extension = at->path().extension().string();
    std::error_code ignored;
    if ((extension == ".yaml" || extension == ".yml") && at->is_regular_file(ignored)) {
      files.push_back(at->path().string());
    }
  }
  if (failure) {
    errors.push_back({folder.string(), {}, "", "a readable folder", failure.message(), "", {}});
  }
  std::sort(files.begin(), files.end());
  return files;
}

class Finder {
 public:
  explicit Finder(const cycle::Plan& plan) : plan_(plan) {}

  void path(const std::string& path) {
    std::error_code failure;
    if (!fs::is_directory(path, failure)) {
      file(path, kind_of(path) == FileKind::machine ? FileKind::machine : FileKind::scenario);
      return;
    }
    const std::size_t before = found_.items.size() + found_.errors.size();
    for (const std::string& each : files_below(path, found_.errors)) {
      const FileKind kind = kind_of(each);
      if (kind == FileKind::other && readable(each)) {
        found_.passed_over.push_back(each);
      } else {
        file(each, kind == FileKind::machine ? kind : FileKind::scenario);
      }
    }
    if (found_.items.size() + found_.errors.size() == before) {
      found_.errors.push_back(
          {path, {}, "", "machines or scenarios (.yaml) below this folder", "none", "", {}});
    }
  }

  Found take() { return std::move(found_); }

 private:
  /// YAML of some other sort is passed over; what is broken must not be.
  static bool readable(const std::string& path) {
    const auto text = machine::read_text_file(path);
    return std::holds_alternative<std::string>(text) &&
           machine::read_yaml(std::get<std::string>(text), path).errors.empty();
  }

  void file(const std::string& path, FileKind kind) {
    if (!seen_.insert(fs::path(path).lexically_normal().string()).second) return;
    if (kind == FileKind::scenario) {
      scenario::Read read = scenario::read_file(path, bank_);
      if (auto* errors = std::get_if<std::vector<machine::Error>>(&read)) {
        found_.errors.insert(found_.errors.end(), errors->begin(), errors->end());
        return;
      }
      for (scenario::Case& one : std::get<std::vector<scenario::Case>>(read)) {
        found_.items.push_back({std::move(one)});
      }
      return;
    }
    scenario::OvenBank::Result result = bank_.get(path, nullptr, path);
    if (auto* errors = std::get_if<std::vector<machine::Error>>(&result)) {
      found_.errors.insert(found_.errors.end(), errors->begin(), errors->end());
      return;
    }
    found_.items.push_back({scenario::MachineRun{
        std::get<std::shared_ptr<const scenario::OvenContext>>(result), path, plan_}});
  }

  const cycle::Plan& plan_;
  scenario::OvenBank bank_;
  std::set<std::string> seen_;
  Found found_;
};

}  // namespace

FileKind kind_of(const std::string& path) {
  const auto text = machine::read_text_file(path);
  if (!std::holds_alternative<std::string>(text)) return FileKind::other;
  const machine::Node root = machine::read_yaml(std::get<std::string>(text), path).root;
  if (root.kind != machine::Node::Kind::map) return FileKind::other;
  if (any_key(root, scenario_marks)) return FileKind::scenario;
  return any_key(root, machine_marks) ? FileKind::machine : FileKind::other;
}

Found find_items(const std::vector<std::string>& paths, const cycle::Plan& plan) {
  Finder finder(plan);
  for (const std::string& path : paths) finder.path(path);
  return finder.take();
}

}  // namespace ovenproof::app
