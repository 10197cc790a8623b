#include "sim/machine/yaml_tree.hpp"

#include <algorithm>
#include <optional>
#include <sstream>
#include <unordered_map>

#include <fmt/format.h>
#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/exceptions.h>
#include <yaml-cpp/parser.h>

#include "sim/machine/utf8.hpp"

namespace ovenproof::machine {

namespace {

struct Stop {};  // thrown out of the parser once going on would not help

/// Turns the parser's marks, which count bytes from 0 and may lie behind the end of the text, into
/// places that count characters from 1 and lie inside it.
class Lines {
 public:
  explicit Lines(std::string_view text) {
    if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
    for (std::size_t end = 0; (end = text.find('\n')) != std::string_view::npos;) {
      lines_.push_back(text.substr(0, end));
      text.remove_prefix(end + 1);
    }
    lines_.push_back(text);
  }

  [[nodiscard]] Place place(const YAML::Mark& mark) const {
    const int last = static_cast<int>(lines_.size()) - 1;
    const int line = std::clamp(mark.line, 0, last);
    const std::string_view text = lines_[static_cast<std::size_t>(line)];
    const std::size_t bytes =
        std::min(static_cast<std::size_t>(std::max(mark.column, 0)), text.size());
    if (line != last_.line || bytes < last_.bytes) last_ = {line, 0, 0};
    last_.characters += utf8_count(text.substr(last_.bytes, bytes - last_.bytes));
    last_.bytes = bytes;
    return {line + 1, static_cast<int>(last_.characters) + 1};
  }

 private:
  std::vector<std::string_view> lines_;
  /// The place asked for last: marks go forward, and a line may be as long as the file.
  struct Last {
    int line = 0;
    std::size_t bytes = 0;
    std::size_t characters = 0;
  };
  mutable Last last_;
};

/// Builds the tree from the parser's events, so that no alias is ever followed.
class Builder final : public YAML::EventHandler {
 public:
  Builder(Tree& tree, const std::string& file, const Lines& lines)
      : tree_(tree), file_(file), lines_(lines) {}

  void OnDocumentStart(const YAML::Mark& mark) override {
    if (documents_++ == 0) return;
    report(place_of(mark), "", "one document", "a second one");
    throw Stop{};
  }
  void OnDocumentEnd() override {}
  void OnNull(const YAML::Mark& mark, YAML::anchor_t) override {
    add(leaf(Node::Kind::null, mark));
  }
  void OnAlias(const YAML::Mark& mark, YAML::anchor_t) override {
    report(place_of(mark), path(), "a value written out", "an alias (*)");
    add(leaf(Node::Kind::refused, mark));
  }
  void OnScalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                const std::string& value) override {
    check(mark, tag, anchor);
    Node node = leaf(Node::Kind::scalar, mark);
    node.text = value;
    node.quoted = tag == "!";
    add(std::move(node));
  }
  void OnSequenceStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                       YAML::EmitterStyle::value) override {
    open(mark, tag, anchor, Node::Kind::sequence);
  }
  void OnSequenceEnd() override { close(); }
  void OnMapStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                  YAML::EmitterStyle::value) override {
    open(mark, tag, anchor, Node::Kind::map);
  }
  void OnMapEnd() override { close(); }

  void report(Place at, std::string key, std::string expected, std::string found,
              std::vector<Related> related = {}) {
    if (stopped_) return;
    tree_.errors.push_back(
        {file_, at, std::move(key), std::move(expected), std::move(found), "", std::move(related)});
    if (tree_.errors.size() >= most_errors) throw Stop{};
  }

  /// What was read until the parser stopped.
  void close_all() {
    stopped_ = true;  // what is half read is not to blame for being so
    while (!open_.empty()) close();
  }

 private:
  struct Open {
    Node node;
    bool has_key = false;  // of a map: a key waits for its value
    std::string key;
    Place key_at;
    bool drop = false;  // the waiting key was refused, and its value goes with it
    std::unordered_map<std::string, Place> keys;  // of a map: those it has, and where
  };

  void check(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor) {
    if (anchor != 0) report(place_of(mark), path(), "a value without anchor", "an anchor (&)");
    // "?" is what the parser gives for plain text, "!" for quoted text.
    if (!tag.empty() && tag != "?" && tag != "!") {
      report(place_of(mark), path(), "a value without tag", fmt::format("the tag {}", shown(tag)));
    }
  }

  [[nodiscard]] Node leaf(Node::Kind kind, const YAML::Mark& mark) const {
    Node node;
    node.kind = kind;
    node.at = place_of(mark);
    return node;
  }

  void open(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
            Node::Kind kind) {
    check(mark, tag, anchor);
    if (open_.size() >= static_cast<std::size_t>(deepest_nesting)) {
      report(place_of(mark), path(), fmt::format("at most {} levels of nesting", deepest_nesting),
             "more");
      throw Stop{};
    }
    Open next;
    next.node.kind = kind;
    next.node.at = place_of(mark);
    open_.push_back(std::move(next));
  }

  void close() {
    Node node = std::move(open_.back().node);
    open_.pop_back();
    add(std::move(node));
  }

  void add(Node node) {
    if (open_.empty()) {
      tree_.root = std::move(node);
      return;
    }
    Open& parent = open_.back();
    if (parent.node.kind == Node::Kind::sequence) {
      parent.node.children.push_back(std::move(node));
    } else if (!parent.has_key) {
      take_key(parent, node);
    } else {
      parent.has_key = false;
      if (parent.drop) return;
      node.key = std::move(parent.key);
      node.key_at = parent.key_at;
      parent.node.children.push_back(std::move(node));
    }
  }

  void take_key(Open& parent, const Node& key) {
    parent.has_key = true;
    parent.drop = true;
    parent.key.clear();
    if (key.kind == Node::Kind::refused) return;
    if (key.kind != Node::Kind::scalar) {
      report(key.at, path(), "a key of plain text", described(key));
      return;
    }
    const auto [first, fresh] = parent.keys.emplace(key.text, key.at);
    if (!fresh) {
      const std::string base = path();
      const std::string full = base.empty() ? shown(key.text) : base + "." + shown(key.text);
      report(key.at, full, "each key once", "the key again",
             {{first->second, full, "first given here"}});
      return;
    }
    parent.drop = false;
    parent.key = key.text;
    parent.key_at = key.at;
  }

  [[nodiscard]] Place place_of(const YAML::Mark& mark) const { return lines_.place(mark); }

  [[nodiscard]] std::string path() const {
    std::string out;
    for (const Open& level : open_) {
      if (level.node.kind == Node::Kind::sequence) {
        out += fmt::format("[{}]", level.node.children.size() + 1);
      } else if (level.has_key && !level.drop) {
        if (!out.empty()) out += '.';
        out += shown(level.key);
      }
    }
    return out;
  }

  Tree& tree_;
  const std::string& file_;
  const Lines& lines_;
  std::vector<Open> open_;
  int documents_ = 0;
  bool stopped_ = false;
};

/// The first byte that no text file holds, if any.
std::optional<Error> not_text(std::string_view text, const std::string& file) {
  Place at{1, 1};
  std::string_view rest = text;
  if (rest.starts_with("\xEF\xBB\xBF")) rest.remove_prefix(3);
  while (!rest.empty()) {
    const auto first = static_cast<unsigned char>(rest[0]);
    const std::size_t length = utf8_length(rest);
    const bool control =
        (first < 0x20 && first != '\t' && first != '\n' && first != '\r') || first == 0x7F;
    if (length == 0 || control) {
      return Error{file,
                   at,
                   "",
                   "text in UTF-8",
                   fmt::format("the byte 0x{:02X}", first),
                   length == 0 ? "" : "is this a binary file?",
                   {}};
    }
    if (first == '\n') {
      at = {at.line + 1, 1};
    } else {
      ++at.column;
    }
    rest.remove_prefix(length);
  }
  return std::nullopt;
}

bool nothing_but_space(std::string_view text) {
  return text.find_first_not_of(" \t\r\n") == std::string_view::npos;
}

}  // namespace

Tree read_yaml(std::string_view text, const std::string& file) {
  Tree tree;
  if (std::optional<Error> error = not_text(text, file)) {
    tree.errors.push_back(std::move(*error));
    return tree;
  }
  if (nothing_but_space(text)) {
    tree.errors.push_back({file, {1, 1}, "", "a machine", "an empty file", "", {}});
    return tree;
  }
  const Lines lines(text);
  Builder builder(tree, file, lines);
  try {
    std::istringstream in{std::string(text)};
    YAML::Parser parser(in);
    const bool any = parser.HandleNextDocument(builder);
    if (any) parser.HandleNextDocument(builder);
    tree.whole = true;
    if (!any) {
      tree.errors.push_back({file, {1, 1}, "", "a machine", "nothing but comments", "", {}});
      tree.whole = false;
    }
  } catch (const Stop&) {
  } catch (const YAML::Exception& error) {
    tree.errors.push_back({file,
                           lines.place(error.mark),
                           "",
                           "well-formed YAML",
                           "a syntax error: " + error.msg,
                           "",
                           {}});
  }
  if (!tree.whole) builder.close_all();
  return tree;
}

std::string described(const Node& node) {
  switch (node.kind) {
    case Node::Kind::null:
      return "nothing";
    case Node::Kind::scalar:
      return fmt::format("\"{}\"", shown(node.text));
    case Node::Kind::sequence:
      return "a list";
    case Node::Kind::map:
      return "a group of keys";
    case Node::Kind::refused:
      break;
  }
  return "something refused";
}

}  // namespace ovenproof::machine
