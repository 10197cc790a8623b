#include "sim/scenario/read_expectations.hpp"

#include <algorithm>
#include <chrono>
#include <utility>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "firmware/logic/matrix.hpp"
#include "sim/hazards/hazards.hpp"
#include "sim/hazards/requirements.hpp"
#include "sim/scenario/file_keys.hpp"

namespace ovenproof::scenario {
namespace {

using machine::Node;
using properties::Compiled;

Compiled compile(const std::string& text, const OvenContext& oven) {
  return properties::compile(text, oven.table, std::chrono::milliseconds(oven.period_ms));
}

/// A shorthand's value split at the words that carry its times: HEAD [within TIME [after COND]].
struct Shorthand {
  std::string head;
  std::string within;
  std::string after;
};

std::string trimmed(std::string_view text) {
  const std::size_t begin = text.find_first_not_of(" \t\r\n");
  if (begin == std::string_view::npos) return "";
  return std::string(text.substr(begin, text.find_last_not_of(" \t\r\n") - begin + 1));
}

Shorthand split(const std::string& text) {
  Shorthand parts;
  const std::string padded = text + " ";
  const std::size_t within = padded.find(" within ");
  parts.head = trimmed(padded.substr(0, within));
  if (within == std::string::npos) return parts;
  const std::string rest = padded.substr(within + 8);
  const std::size_t after = (" " + rest).find(" after ");
  parts.within = trimmed(rest.substr(0, after));
  if (after != std::string::npos) parts.after = trimmed(rest.substr(after + 6));
  return parts;
}

/// "within T after C: X", "eventually within T X" or "eventually X".
std::string response(const Shorthand& parts, const std::string& answer) {
  if (parts.within.empty()) return fmt::format("eventually {}", answer);
  if (parts.after.empty()) return fmt::format("eventually within {} {}", parts.within, answer);
  return fmt::format("within {} after ({}): {}", parts.within, parts.after, answer);
}

/// The condition "one of these outputs is energised", at the terminals.
std::optional<std::string> energised(const std::string& outputs, const Node& node,
                                     const std::string& key, Reporter& reporter) {
  if (outputs == "everything") return "board.anything";
  if (outputs == "heat") return "(board.k1 or board.k2 or board.heater_drive > 0)";
  std::vector<std::string> names{"everything", "heat"};
  for (std::size_t i = 0; i < logic::output_count; ++i) {
    names.emplace_back(logic::name_of(static_cast<logic::Output>(i)));
  }
  std::vector<std::string> conditions;
  std::string rest = outputs + ",";
  while (!rest.empty()) {
    const std::string name = trimmed(rest.substr(0, rest.find(',')));
    rest = rest.substr(rest.find(',') + 1);
    if (std::find(names.begin() + 2, names.end(), name) == names.end()) {
      reporter.report_unknown(place_of(node), key,
                              "everything, heat, or outputs with commas between", name, names);
      return std::nullopt;
    }
    conditions.push_back(name == "heater_drive" ? "board.heater_drive > 0" : "board." + name);
  }
  return fmt::format("({})", fmt::join(conditions, " or "));
}

/// The property that a shorthand stands for; nothing, and reported, if it makes no sense.
std::optional<std::string> expanded(const Node& node, const std::string& key, Reporter& reporter) {
  const Shorthand parts = split(node.text);
  if (node.key == "property") return node.text;
  if (node.key == "no_trip") {
    if (node.text == "true") return "never rises(first_out != none)";
    reporter.report(node, key, "true", machine::described(node));
    return std::nullopt;
  }
  if (node.key == "trip") {
    std::vector<std::string> causes;
    for (std::size_t i = 0; i < logic::first_inhibit; ++i)
      causes.emplace_back(logic::matrix[i].key);
    if (std::find(causes.begin(), causes.end(), parts.head) != causes.end()) {
      return response(parts, fmt::format("first_out = {}", parts.head));
    }
    reporter.report_unknown(place_of(node), key, "a cause that trips, such as emergency_stop",
                            parts.head, causes);
    return std::nullopt;
  }
  if (node.key == "reaches") {
    std::vector<std::string> phases;
    for (std::size_t i = 0; i < logic::phase_count; ++i) {
      phases.emplace_back(logic::name_of(static_cast<logic::Phase>(i)));
    }
    if (std::find(phases.begin(), phases.end(), parts.head) != phases.end()) {
      return response(parts, fmt::format("phase = {}", parts.head));
    }
    reporter.report_unknown(place_of(node), key, "a phase", parts.head, phases);
    return std::nullopt;
  }
  const auto on = energised(parts.head, node, key, reporter);
  if (!on) return std::nullopt;
  if (parts.within.empty() || parts.after.empty()) {
    reporter.report(node, key, "OUTPUTS within TIME after CONDITION", machine::described(node));
    return std::nullopt;
  }
  if (node.key == "off") return response(parts, fmt::format("not {}", *on));
  return fmt::format("never ({0} and (once rises({1})) and not (once within {2} rises({1})))", *on,
                     parts.after, parts.within);
}

/// Mistakes are told in the part of the property that the user wrote.
void report_diagnostics(const Node& node, const std::string& key, const Compiled& compiled,
                        const std::string& text, Reporter& reporter) {
  if (text == node.text) {
    reporter.report(node, key, compiled.errors, text, 0);
    return;
  }
  // What a shorthand made of the text is shown, since that is what the columns count in.
  for (const properties::Diagnostic& each : compiled.errors) {
    reporter.report(
        node, key, each.expected, each.found,
        fmt::format(
            "in `{}`, before `{}`", excerpt(text, 300),
            excerpt(std::string_view(text).substr(std::min(each.span.begin, text.size())), 24)));
  }
}

/// The key of an item that says what must hold: exactly one.
const Node* statement_of(const Node& item, const std::string& path, Reporter& reporter) {
  const Node* found = nullptr;
  for (std::size_t i = 0; i < statement_kinds; ++i) {
    const Node* one = child(item, expectation_keys[i].name);
    if (one == nullptr) continue;
    if (found != nullptr) {
      reporter.report(*one, path + "." + one->key, "one statement",
                      "another besides " + found->key);
      return nullptr;
    }
    found = one;
  }
  if (found == nullptr) {
    reporter.report(item, path, "one of property, trip, no_trip, off, stays_off and reaches",
                    "none");
  }
  return found;
}

std::string text_of(const Node& item, std::string_view key, const std::string& path,
                    Reporter& reporter) {
  const Node* node = child(item, key);
  if (node == nullptr) return "";
  if (node->kind == Node::Kind::scalar && !trimmed(node->text).empty()) return node->text;
  reporter.report(*node, fmt::format("{}.{}", path, key), "text", machine::described(*node));
  return "";
}

}  // namespace

void report_unknown_keys(const Node& map, const std::string& path,
                         const std::vector<std::string>& known, Reporter& reporter) {
  for (const Node& each : map.children) {
    if (std::find(known.begin(), known.end(), each.key) != known.end()) continue;
    const std::string key = machine::shown(each.key);
    reporter.report_unknown(each.key_at, path.empty() ? key : path + "." + key,
                            fmt::format("one of {}", fmt::join(known, ", ")), each.key, known);
  }
}

std::vector<std::string> read_texts(const Node& node, const std::string& key,
                                    std::string_view expected, Reporter& reporter) {
  std::vector<std::string> texts;
  const auto take = [&](const Node& one, const std::string& path) {
    if (one.kind == Node::Kind::scalar && !one.text.empty()) {
      texts.push_back(one.text);
    } else {
      reporter.report(one, path, std::string(expected), machine::described(one));
    }
  };
  if (node.kind != Node::Kind::sequence) {
    take(node, key);
    return texts;
  }
  for (std::size_t i = 0; i < node.children.size(); ++i) {
    take(node.children[i], fmt::format("{}[{}]", key, i + 1));
  }
  return texts;
}

std::vector<std::string> read_covers(const Node& node, const std::string& key, Reporter& reporter) {
  std::vector<std::string> known;
  for (const hazards::Requirement& each : hazards::requirements()) known.push_back(each.id);
  for (const hazards::Hazard& each : hazards::default_hazards()) known.push_back(each.id);
  std::vector<std::string> ids;
  for (const std::string& id :
       read_texts(node, key, "an id of a requirement or hazard", reporter)) {
    if (std::find(known.begin(), known.end(), id) != known.end()) {
      ids.push_back(id);
    } else {
      reporter.report_unknown(place_of(node), key,
                              "ids of requirements and hazards (docs/hazards.md)", id, known);
    }
  }
  return ids;
}

std::optional<properties::Property> read_condition(const Node& node, const std::string& key,
                                                   const OvenContext& oven, Reporter& reporter) {
  if (node.kind != Node::Kind::scalar || trimmed(node.text).empty()) {
    reporter.report(node, key, "a condition of the property language", machine::described(node));
    return std::nullopt;
  }
  constexpr std::string_view head = "never (";
  Compiled compiled = compile(fmt::format("{}{})", head, node.text), oven);
  if (compiled.property) return std::move(compiled.property);
  reporter.report(node, key, compiled.errors, std::string(head) + node.text, head.size());
  return std::nullopt;
}

std::vector<Expectation> read_expectations(const Node& list, const OvenContext& oven,
                                           Reporter& reporter) {
  std::vector<Expectation> all;
  if (list.kind != Node::Kind::sequence) {
    reporter.report(list, "expect", "a list of what must hold", machine::described(list));
    return all;
  }
  for (std::size_t i = 0; i < list.children.size(); ++i) {
    const Node& item = list.children[i];
    const std::string item_path = fmt::format("expect[{}]", i + 1);
    std::string path = item_path;
    Node plain;  // an item that is text alone is a property
    const Node* statement = nullptr;
    if (item.kind == Node::Kind::scalar) {
      plain = item;
      plain.key = "property";
      statement = &plain;
    } else if (item.kind == Node::Kind::map) {
      report_unknown_keys(item, path, names_of(expectation_keys), reporter);
      statement = statement_of(item, path, reporter);
      if (statement != nullptr) path += "." + statement->key;
    } else {
      reporter.report(item, path, "a property or a group of keys", machine::described(item));
    }
    if (statement == nullptr) continue;
    if (statement->kind != Node::Kind::scalar) {
      reporter.report(*statement, path, "text", machine::described(*statement));
      continue;
    }
    const auto text = expanded(*statement, path, reporter);
    if (!text) continue;
    Compiled compiled = compile(*text, oven);
    if (!compiled.property) {
      report_diagnostics(*statement, path, compiled, *text, reporter);
      continue;
    }
    Expectation expectation{text_of(item, "name", item_path, reporter),
                            *std::move(compiled.property),
                            text_of(item, "may_be_vacuous", item_path, reporter),
                            {}};
    if (expectation.name.empty()) {
      expectation.name = statement->key == "property"
                             ? statement->text
                             : fmt::format("{} {}", statement->key, statement->text);
    }
    if (const Node* covers = child(item, "covers")) {
      expectation.covers = read_covers(*covers, item_path + ".covers", reporter);
    }
    all.push_back(std::move(expectation));
  }
  return all;
}

}  // namespace ovenproof::scenario
