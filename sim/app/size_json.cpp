#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "sim/app/cautions.hpp"
#include "sim/app/size_report.hpp"

namespace ovenproof::app {

namespace {

using Json = nlohmann::ordered_json;
using sizing::Figure;

Json number(const std::optional<double>& value) { return value ? Json(*value) : Json(); }
Json words(const std::string& text) { return text.empty() ? Json() : Json(text); }

Json figure_json(const Figure& f) {
  Json assumptions = Json::array();
  for (const sizing::Assumption& each : f.assumptions) {
    assumptions.push_back(
        {{"text", each.text}, {"holds", each.holds}, {"found", words(each.found)}});
  }
  return {{"id", f.id},
          {"group", f.group},
          {"what", f.what},
          {"unit", f.unit},
          {"predicted", number(f.predicted)},
          {"no_prediction", words(f.no_prediction)},
          {"simulated", number(f.simulated)},
          {"measured_on", words(std::string(f.measured_on))},
          {"no_simulation", words(f.no_simulation)},
          {"deviation", number(f.deviation())},
          {"bound", {{"relative", f.bound.relative}, {"absolute", f.bound.absolute}}},
          {"verdict", name_of(f.verdict())},
          {"remark", words(f.remark)},
          {"formula",
           {{"name", f.formula->name},
            {"equation", f.formula->equation},
            {"source", f.formula->source}}},
          {"assumptions", assumptions}};
}

Json points_json(const std::vector<sizing::Point>& points) {
  Json all = Json::array();
  for (const sizing::Point& each : points) all.push_back({each.s, each.value});
  return all;
}

Json options_json(const sizing::Options& options) {
  return {{"cylinder",
           {{"volume_L", options.cylinder.volume_L},
            {"pressure_bar", options.cylinder.pressure_bar},
            {"count", options.cylinder.count}}},
          {"margin", options.margin},
          {"simulated", options.simulate}};
}

std::string dump(const Json& json) {
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + '\n';
}

/// One value of a comma-separated file: quoted where it must be (RFC 4180).
std::string csv(std::string_view text) {
  if (text.find_first_of(",\"\n\r") == std::string_view::npos) return std::string(text);
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"') out += '"';
    out += c;
  }
  return out + '"';
}

std::string csv(const std::optional<double>& value) {
  return value ? fmt::format("{}", *value) : "";
}

std::string curve_csv(const sizing::Curve& curve) {
  std::string out = fmt::format("series,s,{}\n", curve.unit);
  for (const sizing::Point& each : curve.predicted) {
    out += fmt::format("predicted,{},{}\n", each.s, each.value);
  }
  for (const sizing::Point& each : curve.simulated) {
    out += fmt::format("simulated,{},{}\n", each.s, each.value);
  }
  return out;
}

}  // namespace

std::string size_json(const machine::Machine& machine, const sizing::Options& options,
                      const sizing::Sizing& sizing) {
  Json json{{"machine", machine.name}, {"options", options_json(options)}};
  json["holds"] = sizing.holds();
  json["cycle_problem"] = words(sizing.cycle_problem);
  json["figures"] = Json::array();
  for (const Figure& each : sizing.figures) json["figures"].push_back(figure_json(each));
  json["floors"] = {{"flows_L_per_min", sizing.floors.flows_L_per_min},
                    {"ingress_L_per_min", sizing.floors.ingress_L_per_min},
                    {"ppm", sizing.floors.ppm},
                    {"level_ppm", sizing.floors.level_ppm}};
  json["curves"] = Json::array();
  for (const sizing::Curve& each : sizing.curves) {
    json["curves"].push_back({{"id", each.id},
                              {"what", each.what},
                              {"unit", each.unit},
                              {"log_axis", each.log_axis},
                              {"predicted", points_json(each.predicted)},
                              {"simulated", points_json(each.simulated)}});
  }
  json["cautions"] = sizing.cautions;
  json["caution"] = caution;
  return dump(json);
}

std::string sweep_json(const Sweep& sweep, const sizing::Options& options) {
  Json json{{"options", options_json(options)}, {"holds", sweep.holds()}};
  json["axes"] = Json::array();
  for (const sizing::SweepAxis& axis : sweep.axes) {
    json["axes"].push_back(
        {{"key", axis.path}, {"unit", axis.key->unit}, {"values", Json::array()}});
    for (std::size_t i = 0; i < axis.values.size(); ++i) {
      json["axes"].back()["values"].push_back(axis.text(i));
    }
  }
  json["points"] = Json::array();
  for (std::size_t i = 0; i < sweep.points.size(); ++i) {
    Json point{{"at", sweep.points[i].at}, {"holds", sweep.sizings[i].holds()}};
    point["cycle_problem"] = words(sweep.sizings[i].cycle_problem);
    point["figures"] = Json::array();
    for (const Figure& each : sweep.sizings[i].figures) {
      point["figures"].push_back(figure_json(each));
    }
    json["points"].push_back(std::move(point));
  }
  json["caution"] = caution;
  return dump(json);
}

std::vector<NamedText> size_files(const machine::Machine& machine, const sizing::Options& options,
                                  const sizing::Sizing& sizing) {
  std::string figures =
      "id,group,what,unit,predicted,simulated,deviation,bound_relative,bound_absolute,verdict,"
      "remark,"
      "formula,equation,source\n";
  for (const Figure& f : sizing.figures) {
    figures +=
        fmt::format("{},{},{},{},{},{},{},{},{},{},{},{},{},{}\n", f.id, f.group, csv(f.what),
                    csv(f.unit), csv(f.predicted), csv(f.simulated), csv(f.deviation()),
                    f.bound.relative, f.bound.absolute, csv(name_of(f.verdict())), csv(f.remark),
                    csv(f.formula->name), csv(f.formula->equation), csv(f.formula->source));
  }
  std::string floors = "flow_L_per_min,ingress_L_per_min,ppm\n";
  for (std::size_t i = 0; i < sizing.floors.ppm.size(); ++i) {
    for (std::size_t k = 0; k < sizing.floors.ppm[i].size(); ++k) {
      floors += fmt::format("{},{},{}\n", sizing.floors.flows_L_per_min[i],
                            sizing.floors.ingress_L_per_min[k], sizing.floors.ppm[i][k]);
    }
  }
  std::vector<NamedText> files{{"figures.csv", std::move(figures)},
                               {"floors.csv", std::move(floors)}};
  for (const sizing::Curve& each : sizing.curves) {
    files.push_back({fmt::format("{}.csv", each.id), curve_csv(each)});
  }
  files.push_back({"size.json", size_json(machine, options, sizing)});
  return files;
}

std::vector<NamedText> sweep_files(const Sweep& sweep, const sizing::Options& options) {
  std::string rows;
  for (const sizing::SweepAxis& axis : sweep.axes) rows += csv(axis.path) + ',';
  rows += "figure,unit,predicted,simulated,deviation,verdict\n";
  for (std::size_t i = 0; i < sweep.points.size(); ++i) {
    std::string at;
    for (std::size_t a = 0; a < sweep.axes.size(); ++a) {
      at += csv(sweep.axes[a].text(sweep.points[i].at[a])) + ',';
    }
    for (const Figure& f : sweep.sizings[i].figures) {
      rows += at + fmt::format("{},{},{},{},{},{}\n", f.id, csv(f.unit), csv(f.predicted),
                               csv(f.simulated), csv(f.deviation()), csv(name_of(f.verdict())));
    }
  }
  return {{"sweep.csv", std::move(rows)}, {"sweep.json", sweep_json(sweep, options)}};
}

}  // namespace ovenproof::app
