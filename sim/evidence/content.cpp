#include "sim/evidence/content.hpp"

#include <algorithm>
#include <set>
#include <stdexcept>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "sim/evidence/document.hpp"

namespace ovenproof::evidence {
namespace {

using Json = nlohmann::ordered_json;

std::string list_text(const Json& list);

std::string text_of(const Json& value) {
  if (value.is_string()) return value.get<std::string>();
  if (value.is_number_float()) return fmt::format("{:.6g}", value.get<double>());
  if (value.is_boolean()) return value.get<bool>() ? "yes" : "no";
  if (value.is_null()) return "none";
  if (value.is_array()) return list_text(value);
  return value.dump(-1, ' ', false, Json::error_handler_t::replace);
}

std::string list_text(const Json& list) {
  std::string text;
  for (const Json& each : list) text += (text.empty() ? "" : ", ") + text_of(each);
  return text.empty() ? "none" : text;
}

/// Adds what a document says; of two things that share a name the second is told apart.
class Collector {
 public:
  explicit Collector(Content& content) : content_(content) {}

  void add(std::string_view group, std::string key, std::string text,
           Weight weight = Weight::none) {
    while (!seen_.insert({std::string(group), key}).second) key += " (again)";
    content_.entries.push_back({std::string(group), std::move(key), std::move(text), weight, part});
  }
  std::string part;

 private:
  Content& content_;
  std::set<std::pair<std::string, std::string>> seen_;
};

void add_machine(const Json& d, Collector& add) {
  add.add("settings", "name", d.at("machine").at("name"));
  add.add("settings", "load", text_of(d.at("machine").at("load")));
  for (const Json& each : d.at("machine").at("settings")) {
    add.add("settings", each.at("key"), text_of(each.at("value")));
  }
  for (const Json& each : d.at("machine").at("io")) {
    add.add("I/O list", each.at("tag"),
            fmt::format("{}: {}; {}", text_of(each.at("type")), text_of(each.at("what")),
                        text_of(each.at("electrical"))));
  }
}

std::string condition_text(const Json& condition) {
  if (condition.is_null()) return "";
  std::string text = fmt::format(" when {}{}", condition.at("is").get<bool>() ? "" : "not ",
                                 text_of(condition.at("fact")));
  if (!condition.at("while_on").empty()) text += " with " + list_text(condition.at("while_on"));
  if (!condition.at("while_off").empty()) {
    text += " without " + list_text(condition.at("while_off"));
  }
  return text;
}

void add_logic(const Json& d, Collector& add) {
  for (const Json& row : d.at("matrix").at("rows")) {
    add.add("matrix", row.at("cause"),
            row.at("fitted").get<bool>()
                ? fmt::format("{} in {}{}: takes away {}", text_of(row.at("kind")),
                              text_of(row.at("phases")), condition_text(row.at("condition")),
                              list_text(row.at("withholds")))
                : "not on this machine");
  }
  for (const Json& region : d.at("state_chart").at("regions")) {
    for (const Json& each : region.at("transitions")) {
      const std::string guard = text_of(each.at("guard"));
      const std::string key =
          fmt::format("{} to {} on {}{}", text_of(each.at("from")), text_of(each.at("to")),
                      text_of(each.at("event")), guard.empty() ? "" : " if " + guard);
      const std::string action = text_of(each.at("action"));
      add.add("state chart", key,
              each.at("fitted").get<bool>() ? action.empty() ? "no action" : action
                                            : "not on this machine");
    }
  }
}

void add_hazards(const Json& hazards, const std::string& of, Collector& add) {
  for (const Json& each : hazards) {
    const bool avoided = each.at("avoided").get<bool>();
    const bool waived = !each.at("waived").is_null();
    const std::string key = of + text_of(each.at("id"));
    add.add("verdicts", key,
            avoided  ? "avoided"
            : waived ? "occurred, waived"
                     : "occurred",
            avoided  ? Weight::good
            : waived ? Weight::aside
                     : Weight::bad);
    if (avoided) add.add("margins", key, text_of(each.at("margin")));
  }
}

void add_cycle(const Json& cycle, Collector& add) {
  const bool whole = cycle.at("completed") == cycle.at("planned");
  add.add("verdicts", "whole cycles",
          fmt::format("{} of {}", text_of(cycle.at("completed")), text_of(cycle.at("planned"))),
          whole ? Weight::good : Weight::bad);
  add_hazards(cycle.at("hazards"), "cycle: ", add);
  int number = 0;
  for (const Json& figures : cycle.at("figures")) {
    ++number;
    for (const auto& [name, value] : figures.items()) {
      add.add("figures", fmt::format("cycle {}: {}", number, name), text_of(value));
    }
  }
}

void add_scenarios(const Json& scenarios, Collector& add) {
  for (const Json& group : scenarios.at("groups")) {
    for (const Json& each : group.at("cases")) {
      const bool passed = each.at("passed").get<bool>();
      add.add("verdicts", each.at("name"),
              passed ? "passed" : "failed: " + text_of(each.at("failure")),
              passed ? Weight::good : Weight::bad);
    }
  }
}

/// The least margin of each expectation and the margins of the hazards.
void add_case_margins(const Json& cases, Collector& add) {
  for (const Json& each : cases) {
    const std::string of = text_of(each.at("name")) + ": ";
    for (const Json& expected : each.at("expectations")) {
      std::string text;
      for (const Json& margin : expected.at("margins")) {
        if (margin.at("value").is_null()) continue;
        text += fmt::format("{}{} {}", text.empty() ? "" : ", ", text_of(margin.at("value")),
                            text_of(margin.at("unit")));
      }
      if (!text.empty()) add.add("margins", of + text_of(expected.at("name")), text);
    }
    for (const Json& hazard : each.at("hazards")) {
      if (!hazard.at("avoided").get<bool>()) continue;
      add.add("margins", of + text_of(hazard.at("id")), text_of(hazard.at("margin")));
    }
  }
}

void add_proof(const Json& d, Collector& add) {
  const Json& proof = d.at("proof");
  for (const Json& claim : proof.at("claims")) {
    const std::string standing = claim.at("standing");
    add.add("verdicts", claim.at("id"), fmt::format("{}: {}", standing, text_of(claim.at("title"))),
            standing == "proved"    ? Weight::good
            : standing == "refuted" ? Weight::bad
                                    : Weight::aside);
  }
  for (const char* const count : {"states", "transitions", "depth"}) {
    add.add("reachable", count, text_of(proof.at(count)));
  }
  for (const auto& [name, value] : proof.at("recovery").items()) {
    if (value.is_structured()) {
      add.add("verdicts", "recovery", "stuck", Weight::bad);
    } else {
      add.add("reachable", "recovery: " + name, text_of(value));
    }
  }
  for (const Json& each : proof.at("never_at_work")) {
    add.add("reachable", list_text(each), "never at work");
  }
  for (const Json& region : d.at("state_chart").at("regions")) {
    for (const Json& each : region.at("transitions")) {
      if (!each.at("fitted").get<bool>()) continue;
      add.add("reachable",
              fmt::format("{} to {} on {}{}{}", text_of(each.at("from")), text_of(each.at("to")),
                          text_of(each.at("event")), each.at("guard") == "" ? "" : " if ",
                          text_of(each.at("guard"))),
              "taken from " + list_text(each.at("seen_from")));
    }
  }
}

Weight outcome_weight(const std::string& outcome, bool accepted) {
  if (outcome == "hazardous") return accepted ? Weight::aside : Weight::bad;
  return outcome == "unnoticed" ? Weight::aside : Weight::good;
}

void add_campaign(const Json& campaign, Collector& add) {
  for (const Json& mode : campaign.at("modes")) {
    const std::string id = mode.at("id");
    if (mode.at("excluded") != "") {
      add.add("verdicts", id, "excluded", Weight::aside);
    } else if (mode.contains("worst") && mode.at("worst").is_string()) {
      const bool accepted = mode.at("accepted") != "";
      const std::string worst = mode.at("worst");
      add.add("verdicts", id, worst + (accepted ? ", accepted" : ""),
              outcome_weight(worst, accepted));
      add.add("margins", id + ": slowest reaction, s", text_of(mode.at("slowest_s")));
    }
  }
}

void add_sizing(const Json& sizing, bool simulated, Collector& add) {
  for (const Json& figure : sizing.at("figures")) {
    const std::string id = figure.at("id");
    const std::string unit = text_of(figure.at("unit"));
    const auto value = [&unit](const Json& number) {
      return number.is_null() ? "never" : text_of(number) + (unit.empty() ? "" : " " + unit);
    };
    add.part.clear();
    add.add("figures", id + " by formula", value(figure.at("predicted")));
    if (!simulated) continue;
    add.part = "sizing";
    const std::string verdict = figure.at("verdict");
    add.add("figures", id + " simulated", value(figure.at("simulated")));
    if (verdict == "not compared") continue;
    add.add("verdicts", id + ": formula against simulation", verdict,
            verdict == "within" ? Weight::good : Weight::aside);
  }
}

void add_build(const Json& made, Collector& add) {
  add.add("build", "program", text_of(made.at("program")));
  add.add("build", "sources of the firmware", text_of(made.at("firmware_sources")));
  add.add("build", "sources of the program", text_of(made.at("program_sources")));
  for (const auto& [name, version] : made.at("libraries").items()) {
    add.add("build", name, text_of(version));
  }
}

Content content(const Json& d, const Json& scenarios) {
  if (d.at("format") != document_format || d.at("version") != document_version) {
    throw std::runtime_error(
        fmt::format("expected format \"{}\", version {}", document_format, document_version));
  }
  Content all;
  all.machine = d.at("machine").at("name");
  Collector add(all);
  add_machine(d, add);
  add_logic(d, add);
  const bool simulated =
      d.at("sizing").is_object() &&
      std::any_of(d.at("sizing").at("figures").begin(), d.at("sizing").at("figures").end(),
                  [](const Json& each) { return !each.at("simulated").is_null(); });
  for (const std::string_view name : content_parts) {
    const std::string part(name);
    const bool done = part == "sizing" ? simulated : d.at(part).is_object();
    if (done) all.parts.push_back(part);
    if (part == "sizing" && d.at(part).is_object()) add_sizing(d.at(part), simulated, add);
    if (!done) continue;
    add.part = part;
    if (part == "cycle") add_cycle(d.at(part), add);
    if (part == "scenarios") add_scenarios(d.at(part), add);
    if (part == "scenarios" && !scenarios.is_null()) add_case_margins(scenarios.at("cases"), add);
    if (part == "proof") add_proof(d, add);
    if (part == "campaign") add_campaign(d.at(part), add);
  }
  add.part.clear();
  add_build(d.at("made"), add);
  return all;
}

}  // namespace

Content content_of(const std::string& document, const std::string& scenarios) {
  try {
    return content(Json::parse(document), scenarios.empty() ? Json() : Json::parse(scenarios));
  } catch (const Json::exception& error) {
    throw std::runtime_error(fmt::format("not a document of an evidence pack: {}", error.what()));
  }
}

}  // namespace ovenproof::evidence
