#include "sim/machine/load.hpp"

#include <algorithm>
#include <optional>

#include <fmt/format.h>

#include "sim/machine/given.hpp"
#include "sim/machine/keys.hpp"
#include "sim/machine/suggest.hpp"
#include "sim/machine/text_file.hpp"
#include "sim/machine/value.hpp"
#include "sim/machine/warnings.hpp"
#include "sim/machine/yaml_tree.hpp"

namespace ovenproof::machine {

namespace {

std::string joined(const std::string& section, std::string_view name) {
  return section.empty() ? std::string(name) : fmt::format("{}.{}", section, name);
}

/// Names that may stand directly under a section of the table ("" is the file as a whole).
std::vector<std::string> names_under(const std::string& section) {
  std::vector<std::string> names;
  const std::string prefix = section.empty() ? "" : section + ".";
  for (const Key& key : all_keys()) {
    if (!key.path.starts_with(prefix)) continue;
    const std::string rest = key.path.substr(prefix.size());
    std::string name = rest.substr(0, rest.find_first_of(".["));
    if (std::find(names.begin(), names.end(), name) == names.end())
      names.push_back(std::move(name));
  }
  return names;
}

/// Reads the tree of one file into a machine, key by key.
class Reader {
 public:
  Reader(const std::string& file, Machine& machine) : file_(file), machine_(machine) {}

  void read_root(const Node& root) {
    if (root.kind == Node::Kind::refused) return;
    if (root.kind != Node::Kind::map) {
      report(root.at, "", "the keys of a machine, such as name and options", described(root));
      return;
    }
    read_section(root, "", "", 0);
  }

  /// Missing keys are reported where their group begins, or else where the option stands that asks
  /// for them.
  void report_missing() {
    for (const List& each : all_lists()) {
      const std::string list(each.path);
      if (!each.required || sections_.contains(list) || given_.is_bad(list)) continue;
      report(group_place(list).value_or(Place{1, 1}), list, fmt::format("a list of {}", each.items),
             "nothing", "the key is missing");
      given_.bad.insert(list);
    }
    for (const Key& key : all_keys()) {
      if (!key.required || !has_part(key.part, machine_.settings.options)) continue;
      const std::string decides(decider(key.part).key);
      if (given_.is_bad(decides)) continue;
      const List* list = list_of(key.path);
      const std::size_t items = list == nullptr ? 1 : list->size(machine_);
      for (std::size_t item = 0; item < items; ++item) {
        const std::string path = full_path(key.path, item);
        if (!given_.at.contains(path) && !given_.is_bad(path)) report_missing(key, path, decides);
      }
    }
  }

  /// Keys of parts that the oven does not have.
  void report_useless() {
    for (const Key& key : all_keys()) {
      const auto found = given_.at.find(key.path);
      if (found == given_.at.end() || has_part(key.part, machine_.settings.options)) continue;
      const Decider by = decider(key.part);
      const std::string decides(by.key);
      if (given_.is_bad(decides)) continue;
      const std::string value = value_text(*find_key(decides), machine_);
      Error error{file_,
                  found->second,
                  key.path,
                  fmt::format("no such key unless {} is {}", decides, by.must_be),
                  value_text(key, machine_),
                  "",
                  {}};
      const auto place = given_.at.find(decides);
      error.related.push_back({place == given_.at.end() ? Place{} : place->second, decides, value});
      errors_.push_back(std::move(error));
    }
  }

  void report_duplicate_tags() {
    std::map<std::string, std::size_t> seen;
    for (std::size_t i = 0; i < point_count; ++i) {
      if (!has_part(all_points()[i].part, machine_.settings.options)) continue;
      const auto [first, fresh] = seen.emplace(machine_.tags[i], i);
      if (fresh) continue;
      const std::string one = tag_key(first->second);
      const std::string two = tag_key(i);
      if (given_.is_bad(one) || given_.is_bad(two)) continue;
      const auto at_one = given_.at.find(one);
      const auto at_two = given_.at.find(two);
      // Standard tags differ from each other, so at least one of the two stands in the file.
      const bool second = at_two != given_.at.end() &&
                          (at_one == given_.at.end() || at_one->second.line <= at_two->second.line);
      const auto& [mine, place] = second ? *at_two : *at_one;
      const auto& other = second ? at_one : at_two;
      errors_.push_back({file_,
                         place,
                         mine,
                         "a tag of its own",
                         machine_.tags[i],
                         "",
                         {{other == given_.at.end() ? Place{} : other->second, second ? one : two,
                           machine_.tags[i]}}});
    }
  }

  /// Where that key stands, else that group; line 0 if neither does.
  [[nodiscard]] Place stated_at(const std::string& key, const std::string& group) const {
    if (const auto at = given_.at.find(key); at != given_.at.end()) return at->second;
    const auto at = sections_.find(group);
    return at == sections_.end() ? Place{} : at->second;
  }

  [[nodiscard]] const Given& given() const { return given_; }
  std::vector<Error>& errors() { return errors_; }

 private:
  static std::string tag_key(std::size_t point) {
    return fmt::format("tags.{}", all_points()[point].key);
  }

  void report(Place at, std::string key, std::string expected, std::string found,
              std::string hint = "") {
    errors_.push_back(
        {file_, at, std::move(key), std::move(expected), std::move(found), std::move(hint), {}});
  }

  void report_missing(const Key& key, const std::string& path, const std::string& decides) {
    const auto option = given_.at.find(decides);
    const std::optional<Place> group = group_place(path);
    Error error{file_, {1, 1}, path, accepts_text(key), "nothing", "the key is missing", {}};
    if (group) {
      error.at = *group;
    } else if (option != given_.at.end()) {
      error.at = option->second;
    }
    if (option != given_.at.end()) {
      error.related.push_back({option->second, decides, value_text(*find_key(decides), machine_)});
    }
    errors_.push_back(std::move(error));
    given_.bad.insert(path);
  }

  /// Where the innermost group that was given and holds `path` begins.
  [[nodiscard]] std::optional<Place> group_place(std::string path) const {
    for (std::size_t cut = 0; (cut = path.find_last_of(".[")) != std::string::npos;) {
      path.resize(cut);
      if (const auto at = sections_.find(path); at != sections_.end()) return at->second;
    }
    return std::nullopt;
  }

  /// The parser marks an empty value where the next thing begins: the key is the better place.
  static Place place_of(const Node& node) {
    return node.kind == Node::Kind::null && node.key_at.line > 0 ? node.key_at : node.at;
  }

  /// `full` is the path for people, `generic` that of the table.
  void read_section(const Node& node, const std::string& full, const std::string& generic,
                    std::size_t item) {
    for (const Node& child : node.children) {
      const std::string child_full = joined(full, shown(child.key));
      const std::string child_generic = joined(generic, child.key);
      if (child.kind == Node::Kind::refused) {
        given_.bad.insert(child_full);
      } else if (const List* list = find_list(child_generic)) {
        read_list(child, child_full, *list);
      } else if (const Key* key = find_key(child_generic)) {
        given_.at[child_full] = place_of(child);
        if (auto refusal = put_value(child, *key, item, machine_)) {
          report(place_of(child), child_full, std::move(refusal->expected),
                 std::move(refusal->found), std::move(refusal->hint));
          given_.bad.insert(child_full);
        }
      } else if (is_section(child_generic)) {
        sections_[child_full] = child.key_at;
        if (child.kind == Node::Kind::map) {
          read_section(child, child_full, child_generic, item);
        } else {
          report(place_of(child), child_full, "a group of keys", described(child));
          given_.bad.insert(child_full);
        }
      } else {
        report_unknown(child, child_full, generic);
      }
    }
  }

  void read_list(const Node& node, const std::string& full, const List& list) {
    sections_[full] = node.key_at;
    if (node.kind != Node::Kind::sequence) {
      report(place_of(node), full, fmt::format("a list of {}", list.items), described(node));
      given_.bad.insert(full);
      return;
    }
    if (node.children.empty() || node.children.size() > list.most) {
      report(node.at, full, fmt::format("1 to {} {}", list.most, list.items),
             fmt::format("{}", node.children.size()));
      given_.bad.insert(full);
      return;
    }
    list.resize(machine_, node.children.size());
    for (std::size_t item = 0; item < node.children.size(); ++item) {
      const Node& child = node.children[item];
      const std::string path = fmt::format("{}[{}]", full, item + 1);
      sections_[path] = child.at;
      if (list.place != nullptr) list.place(machine_, item, child.at);
      if (child.kind == Node::Kind::map) {
        read_section(child, path, std::string(list.path) + "[]", item);
      } else {
        given_.bad.insert(path);
        if (child.kind == Node::Kind::refused) continue;
        report(child.at, path, std::string(list.item), described(child));
      }
    }
  }

  void report_unknown(const Node& child, const std::string& full, const std::string& section) {
    const std::vector<std::string> names = names_under(section);
    const std::string group = full.substr(0, full.find_last_of('.'));
    std::string hint;
    if (const std::string near = nearest(child.key, names); !near.empty()) {
      hint = fmt::format("did you mean {}?", near);
    } else {
      for (const Key& key : all_keys()) {
        if (key.path.ends_with("." + child.key)) {
          hint = fmt::format("did you mean {}?", key.path);
          break;
        }
      }
    }
    report(child.key_at, full, section.empty() ? "a key of a machine file" : "a key of " + group,
           "an unknown key", hint);
  }

  const std::string& file_;
  Machine& machine_;
  Given given_;
  std::map<std::string, Place> sections_;
  std::vector<Error> errors_;
};

}  // namespace

bool Given::is_bad(std::string path) const {
  while (!bad.contains(path)) {
    const std::size_t cut = path.find_last_of(".[");
    if (cut == std::string::npos) return false;
    path.resize(cut);
  }
  return true;
}

std::string full_path(const std::string& path, std::size_t item) {
  const std::size_t brackets = path.find("[]");
  if (brackets == std::string::npos) return path;
  return fmt::format("{}[{}]{}", path.substr(0, brackets), item + 1, path.substr(brackets + 2));
}

Loaded load_text(std::string_view text, const std::string& name) {
  return load_tree(read_yaml(text, name), name);
}

Loaded load_tree(Tree tree, const std::string& name) {
  Machine machine = default_machine();
  machine.path = name;
  Reader reader(name, machine);
  const bool any = tree.whole || tree.root.kind == Node::Kind::map;
  if (any) reader.read_root(tree.root);
  machine.sign_off.at = reader.stated_at("sign_off.digest", "sign_off");
  std::vector<Error> errors = std::move(tree.errors);
  if (tree.whole && tree.root.kind == Node::Kind::map) {
    // Values that could not be read must not mislead: count them as absent, not as defaults.
    reader.report_missing();
    reader.report_useless();
    reader.report_duplicate_tags();
    for (Error& error : contradictions(machine, reader.given(), name)) {
      errors.push_back(std::move(error));
    }
  }
  errors.insert(errors.end(), reader.errors().begin(), reader.errors().end());
  if (errors.empty()) return machine;

  std::stable_sort(errors.begin(), errors.end(), [](const Error& a, const Error& b) {
    return std::pair(a.at.line, a.at.column) < std::pair(b.at.line, b.at.column);
  });
  if (errors.size() > most_errors) {
    const std::size_t more = errors.size() - most_errors;
    errors.resize(most_errors);
    Error& last = errors.back();
    last.hint += fmt::format("{}and {} more errors", last.hint.empty() ? "" : "; ", more);
  }
  return errors;
}

Loaded load_file(const std::filesystem::path& path) {
  auto text = read_text_file(path);
  if (auto* error = std::get_if<Error>(&text)) return std::vector<Error>{std::move(*error)};
  return load_text(std::get<std::string>(text), path.string());
}

std::vector<Error> warnings_in_text(std::string_view text, const std::string& name) {
  const Loaded loaded = load_text(text, name);
  if (!std::holds_alternative<Machine>(loaded)) return {};
  Machine machine = default_machine();
  Reader reader(name, machine);
  reader.read_root(read_yaml(text, name).root);
  std::vector<Error> found = warnings(machine, reader.given(), name);
  if (auto fault = sign_off_fault(std::get<Machine>(loaded))) found.push_back(std::move(*fault));
  return found;
}

std::vector<Error> warnings_in_file(const std::filesystem::path& path) {
  const auto text = read_text_file(path);
  const auto* const read = std::get_if<std::string>(&text);
  return read == nullptr ? std::vector<Error>{} : warnings_in_text(*read, path.string());
}

}  // namespace ovenproof::machine
