#include "sim/scenario/read.hpp"

#include <algorithm>
#include <array>
#include <filesystem>
#include <set>
#include <utility>

#include <fmt/format.h>

#include "sim/hazards/hazards.hpp"
#include "sim/machine/keys.hpp"
#include "sim/machine/text_file.hpp"
#include "sim/scenario/file_keys.hpp"
#include "sim/scenario/phrase.hpp"
#include "sim/scenario/read_actions.hpp"
#include "sim/scenario/read_expectations.hpp"
#include "sim/scenario/table.hpp"

namespace ovenproof::scenario {
namespace {

using logic::Phase;
using machine::Error;
using machine::Node;

constexpr std::uint32_t usual_timeout_ms = 3'600'000;
constexpr std::array nominal_phases{Phase::purging, Phase::ramp, Phase::soak, Phase::cooling,
                                    Phase::unloading};

std::optional<Phase> phase_named(std::string_view name, ValueReader& value,
                                 std::span<const Phase> allowed) {
  std::vector<std::string> names;
  for (const Phase phase : allowed) {
    names.emplace_back(logic::name_of(phase));
    if (names.back() == name) return phase;
  }
  value.report_unknown(fmt::format("one of the phases {}", fmt::join(names, ", ")), name, names);
  return std::nullopt;
}

/// Stands in for an oven that could not be read, so that the other mistakes are told as well.
const OvenContext& any_oven() {
  static const std::shared_ptr<const OvenContext> oven = make_oven(machine::default_machine());
  return *oven;
}

/// Reads one case from a tree in which the columns of the table have been replaced.
class CaseReader {
 public:
  CaseReader(const Node& root, Reporter& reporter, OvenBank& bank)
      : root_(root), reporter_(reporter), bank_(bank) {}

  /// Nothing unless all of it is right.
  std::optional<Case> read(const std::string& machine_path, const Node& machine_node) {
    const std::size_t errors = reporter_.count();
    Case result;
    result.file = reporter_.file();
    result.oven = oven(machine_path, machine_node);
    result.shows = shows();
    if (const Node* covers = child(root_, "covers")) {
      result.covers = read_covers(*covers, "covers", reporter_);
    }
    if (const Node* node = child(root_, "start")) result.start = start(*node);
    if (const Node* node = child(root_, "waive")) result.waivers = waivers(*node);
    // Everything else speaks of signals and settings, which have the same names in every oven.
    const OvenContext& speaks_of = result.oven != nullptr ? *result.oven : any_oven();
    if (const Node* node = child(root_, "steps")) result.steps = steps(*node, speaks_of);
    if (const Node* node = child(root_, "expect")) {
      result.expectations = read_expectations(*node, speaks_of, reporter_);
    }
    if (const Node* node = child(root_, "until")) result.until = until(*node, speaks_of);
    if (reporter_.count() != errors || result.oven == nullptr) return std::nullopt;
    return result;
  }

 private:
  std::shared_ptr<const OvenContext> oven(const std::string& path, const Node& machine_node) {
    const Node* override_node = child(root_, "override");
    if (override_node != nullptr && override_node->kind != Node::Kind::map) {
      reporter_.report(*override_node, "override", "keys of a machine file",
                       machine::described(*override_node));
      override_node = nullptr;
    }
    const OvenBank::Result result = bank_.get(path, override_node, reporter_.file());
    if (const auto* context = std::get_if<std::shared_ptr<const OvenContext>>(&result)) {
      return *context;
    }
    const auto& errors = std::get<std::vector<Error>>(result);
    if (errors.size() == 1 && errors.front().at.line == 0) {
      // The file cannot be had at all: that is a mistake of the one who named it.
      reporter_.report(machine_node, "machine", "the path of a machine file",
                       fmt::format("{}: {}", path, errors.front().found));
    } else {
      for (const Error& error : errors) reporter_.add(error);
    }
    return nullptr;
  }

  std::string shows() {
    const Node* node = child(root_, "shows");
    if (node == nullptr) return "";
    if (node->kind == Node::Kind::scalar && !node->text.empty()) return node->text;
    reporter_.report(*node, "shows", "one sentence", machine::described(*node));
    return "";
  }

  Start start(const Node& node) {
    ValueReader value(reporter_, node, "start");
    const auto phrase = value.phrase("cold, warm_monitor, standby, armed or in PHASE");
    if (!phrase) return {};
    using Kind = Start::Kind;
    if (phrase->head[0] == "in" && phrase->head.size() == 2) {
      if (!value.only_clauses(*phrase, {"for"})) return {};
      const auto phase = phase_named(phrase->head[1], value, nominal_phases);
      const auto into_ms = value.duration_clause(*phrase, "for");
      if (!phase) return {};
      return {Kind::in_phase, *phase, into_ms.value_or(0)};
    }
    if (!value.only_clauses(*phrase, {})) return {};
    constexpr std::array<std::pair<std::string_view, Kind>, 4> kinds{
        {{"cold", Kind::cold},
         {"warm_monitor", Kind::warm_monitor},
         {"standby", Kind::standby},
         {"armed", Kind::armed}}};
    for (const auto& [name, kind] : kinds) {
      if (phrase->rest(0) == name) return {kind, Phase::tripped, 0};
    }
    value.report_unknown("cold, warm_monitor, standby, armed or in PHASE", phrase->rest(0),
                         {"cold", "warm_monitor", "standby", "armed"});
    return {};
  }

  std::vector<Waiver> waivers(const Node& list) {
    std::vector<Waiver> all;
    if (list.kind != Node::Kind::sequence) {
      reporter_.report(list, "waive", "a list of hazards with reasons", machine::described(list));
      return all;
    }
    std::vector<std::string> ids;
    for (const hazards::Hazard& each : hazards::default_hazards()) ids.push_back(each.id);
    for (std::size_t i = 0; i < list.children.size(); ++i) {
      const Node& item = list.children[i];
      const std::string path = fmt::format("waive[{}]", i + 1);
      report_unknown_keys(item, path, names_of(waiver_keys), reporter_);
      const Node* hazard = child(item, "hazard");
      const Node* reason = child(item, "reason");
      if (hazard == nullptr || reason == nullptr || hazard->kind != Node::Kind::scalar ||
          reason->kind != Node::Kind::scalar || reason->text.size() < 3) {
        reporter_.report(item, path, "a hazard and the reason why it may occur",
                         machine::described(item));
        continue;
      }
      const auto found = std::find(ids.begin(), ids.end(), hazard->text);
      if (found == ids.end()) {
        reporter_.report_unknown(place_of(*hazard), path + ".hazard", "a default hazard",
                                 hazard->text, ids);
        continue;
      }
      all.push_back({static_cast<std::size_t>(found - ids.begin()), reason->text});
    }
    return all;
  }

  std::optional<std::uint32_t> duration(const Node& map, std::string_view key,
                                        const std::string& path) {
    const Node* node = child(map, key);
    if (node == nullptr) return std::nullopt;
    ValueReader value(reporter_, *node, fmt::format("{}.{}", path, key));
    if (node->kind == Node::Kind::scalar) return value.duration(node->text);
    value.report("a duration", machine::described(*node));
    return std::nullopt;
  }

  Until until(const Node& node, const OvenContext& oven) {
    Until result;
    if (node.kind != Node::Kind::map) {
      ValueReader value(reporter_, node, "until");
      if (node.kind != Node::Kind::scalar) {
        value.report("a duration, or a condition with `when` and `timeout`",
                     machine::described(node));
      } else if (const auto ms = value.duration(node.text)) {
        result.after_last_step_ms = *ms;
      }
      return result;
    }
    report_unknown_keys(node, "until", names_of(until_keys), reporter_);
    const Node* when = child(node, "when");
    if (when == nullptr) {
      reporter_.report(node, "until", "a condition: `when`", "none");
      return result;
    }
    result.never = read_condition(*when, "until.when", oven, reporter_);
    result.condition = when->text;
    if (child(node, "timeout") == nullptr) {
      reporter_.report(node, "until", "a time by which it must have come: `timeout`", "none");
    }
    result.timeout_ms = duration(node, "timeout", "until").value_or(0);
    return result;
  }

  Trigger trigger(const Node& step, const std::string& path, const OvenContext& oven) {
    Trigger result;
    const Node* at = child(step, "at");
    const Node* when = child(step, "when");
    const Node* on = child(step, "on");
    const int ways = (at != nullptr) + (when != nullptr) + (on != nullptr);
    if (ways > 1 || (at != nullptr && child(step, "after") != nullptr)) {
      reporter_.report(step, path, "one of `at`, `when` and `on`; and `after` not beside `at`",
                       "more than one");
      return result;
    }
    result.delay_ms = duration(step, at != nullptr ? "at" : "after", path).value_or(0);
    result.timeout_ms = duration(step, "timeout", path).value_or(usual_timeout_ms);
    if (const Node* timeout = child(step, "timeout"); timeout && !when && !on) {
      reporter_.report(*timeout, path + ".timeout", "`timeout` beside `when` or `on` only",
                       machine::described(*timeout));
    }
    if (at != nullptr) result.kind = Trigger::Kind::at;
    if (when != nullptr) {
      result.kind = Trigger::Kind::when;
      result.never = read_condition(*when, path + ".when", oven, reporter_);
      result.condition = when->text;
    }
    if (on != nullptr) {
      result.kind = Trigger::Kind::on;
      std::array<Phase, logic::phase_count> phases{};
      for (std::size_t i = 0; i < phases.size(); ++i) phases[i] = static_cast<Phase>(i);
      ValueReader value(reporter_, *on, path + ".on");
      result.phase = phase_named(on->text, value, phases).value_or(Phase::tripped);
    }
    return result;
  }

  std::vector<Step> steps(const Node& list, const OvenContext& oven) {
    std::vector<Step> all;
    if (list.kind != Node::Kind::sequence) {
      reporter_.report(list, "steps", "a list of steps", machine::described(list));
      return all;
    }
    std::vector<std::string> known = names_of(trigger_keys);
    for (const std::string& name : names_of(action_keys)) known.push_back(name);
    std::optional<std::uint32_t> last_at_ms;
    for (std::size_t i = 0; i < list.children.size(); ++i) {
      const Node& node = list.children[i];
      const std::string path = fmt::format("steps[{}]", i + 1);
      if (node.kind != Node::Kind::map) {
        reporter_.report(node, path, "a step: when it is due and what is done",
                         machine::described(node));
        continue;
      }
      report_unknown_keys(node, path, known, reporter_);
      Step step;
      step.trigger = trigger(node, path, oven);
      const std::size_t errors = reporter_.count();
      bool any = false;
      for (const Node& each : node.children) {
        const auto keys = names_of(action_keys);
        if (std::find(keys.begin(), keys.end(), each.key) == keys.end()) continue;
        any = true;
        if (each.key == "note") {
          if (each.kind != Node::Kind::scalar) {
            reporter_.report(each, path + ".note", "text", machine::described(each));
          }
          continue;
        }
        read_action(each, path + "." + each.key, reporter_, step.actions);
      }
      if (const Node* note = child(node, "note"); note != nullptr && reporter_.count() == errors) {
        step.note = note->text;
      }
      if (!any) reporter_.report(node, path, "something to do", "only when");
      if (step.trigger.kind == Trigger::Kind::at) {
        if (last_at_ms && step.trigger.delay_ms < *last_at_ms) {
          reporter_.report(*child(node, "at"), path + ".at",
                           "a time not before that of the steps above",
                           machine::described(*child(node, "at")));
        }
        last_at_ms = step.trigger.delay_ms;
      }
      all.push_back(std::move(step));
    }
    return all;
  }

  const Node& root_;
  Reporter& reporter_;
  OvenBank& bank_;
};

struct MachineChoice {
  const Node* node;
  std::string path;
};

/// Machine paths are relative to the scenario's folder.
std::vector<MachineChoice> machines_of(const Node& root, Reporter& reporter) {
  std::vector<MachineChoice> all;
  const Node* node = child(root, "machine");
  if (node == nullptr) return all;
  const std::filesystem::path folder = std::filesystem::path(reporter.file()).parent_path();
  const auto take = [&](const Node& one, const std::string& key) {
    if (one.kind != Node::Kind::scalar || one.text.empty()) {
      reporter.report(one, key, "the path of a machine file", machine::described(one));
      return;
    }
    all.push_back({&one, (folder / one.text).lexically_normal().string()});
  };
  if (node->kind != Node::Kind::sequence) {
    take(*node, "machine");
    return all;
  }
  for (std::size_t i = 0; i < node->children.size(); ++i) {
    take(node->children[i], fmt::format("machine[{}]", i + 1));
  }
  if (node->children.empty()) reporter.report(*node, "machine", "a machine file", "an empty list");
  return all;
}

/// What tells the machines of one file apart: the names of their files, or, if two are alike, the
/// paths as they are written. Reports a file that is named twice.
std::vector<std::string> machine_labels(const std::vector<MachineChoice>& machines,
                                        Reporter& reporter) {
  std::set<std::string> stems;
  std::set<std::string> paths;
  std::vector<std::string> labels;
  for (const MachineChoice& each : machines) {
    labels.push_back(std::filesystem::path(each.path).stem().string());
    stems.insert(labels.back());
    if (!paths.insert(each.path).second) {
      reporter.report(*each.node, "machine", "each machine file once", "the same file again");
    }
  }
  if (machines.size() == 1) return {""};
  for (std::size_t i = 0; i < labels.size(); ++i) {
    labels[i] = "machine=" + (stems.size() == machines.size() ? labels[i] : machines[i].node->text);
  }
  return labels;
}

/// What tells cases of one file apart.
std::string case_name(const std::string& file, const Row& row, std::string label) {
  if (const std::string rest = row_label(row); !rest.empty()) {
    label += (label.empty() ? "" : ", ") + rest;
  }
  std::string name = std::filesystem::path(file).stem().string();
  if (!label.empty()) name += fmt::format(" [{}]", label);
  return name;
}

std::vector<Case> read_root(const Node& root, Reporter& reporter, OvenBank& bank) {
  std::vector<Case> cases;
  report_unknown_keys(root, "", names_of(case_keys), reporter);
  for (const FileKey& key : case_keys) {
    if (key.required && child(root, key.name) == nullptr) {
      reporter.add({reporter.file(),
                    {1, 1},
                    std::string(key.name),
                    std::string(key.what),
                    "nothing",
                    "the key is missing",
                    {}});
    }
  }
  std::vector<Row> rows{Row{}};
  const Node* table = child(root, "table");
  if (table != nullptr) rows = expand_table(*table, reporter);
  std::vector<std::string> used{"case"};
  std::set<std::string> names;
  for (const Row& row : rows) {
    Node substituted = root;
    std::erase_if(substituted.children, [](const Node& each) { return each.key == "table"; });
    substituted = substitute(substituted, row, used);
    const std::vector<MachineChoice> machines = machines_of(substituted, reporter);
    const std::vector<std::string> labels = machine_labels(machines, reporter);
    for (std::size_t i = 0; i < machines.size(); ++i) {
      std::optional<Case> one =
          CaseReader(substituted, reporter, bank).read(machines[i].path, *machines[i].node);
      if (!one) continue;
      one->name = case_name(reporter.file(), row, labels[i]);
      if (!names.insert(one->name).second && table != nullptr) {
        reporter.report(*table, "table", "rows that differ",
                        fmt::format("two cases \"{}\"", machine::shown(one->name, 200)));
      }
      cases.push_back(*std::move(one));
    }
  }
  if (table != nullptr && !rows.empty()) {
    for (const Cell& cell : rows.front()) {
      if (std::find(used.begin(), used.end(), cell.column) != used.end()) continue;
      reporter.report(*table, "table", fmt::format("that {{{}}} is used somewhere", cell.column),
                      fmt::format("the column {}, and no use of it", cell.column));
    }
  }
  return cases;
}

}  // namespace

Read read_text(std::string_view text, const std::string& name, OvenBank& bank) {
  machine::Tree tree = machine::read_yaml(text, name);
  Reporter reporter(name, text);
  for (Error& error : tree.errors) reporter.add(std::move(error));
  std::vector<Case> cases;
  if (tree.whole && tree.root.kind == Node::Kind::map) {
    cases = read_root(tree.root, reporter, bank);
  } else if (tree.whole) {
    reporter.report(tree.root, "", "the keys of a scenario, such as shows and machine",
                    machine::described(tree.root));
  }
  if (reporter.count() > 0) return reporter.take();
  return cases;
}

Read read_file(const std::string& path, OvenBank& bank) {
  auto text = machine::read_text_file(path);
  if (auto* error = std::get_if<Error>(&text)) return std::vector<Error>{std::move(*error)};
  return read_text(std::get<std::string>(text), path, bank);
}

}  // namespace ovenproof::scenario
