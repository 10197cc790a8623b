#include <nlohmann/json.hpp>

#include "sim/evidence/sections.hpp"
#include "sim/evidence/values.hpp"

namespace ovenproof::evidence {
namespace {

Json value(const std::optional<double>& value) { return value ? Json(rounded(*value, 5)) : Json(); }

Json figure_json(const sizing::Figure& figure) {
  Json assumptions = Json::array();
  for (const sizing::Assumption& each : figure.assumptions) {
    assumptions.push_back({{"text", each.text}, {"holds", each.holds}, {"found", each.found}});
  }
  return {{"id", figure.id},
          {"group", figure.group},
          {"what", figure.what},
          {"unit", figure.unit},
          {"formula", figure.formula->name},
          {"equation", figure.formula->equation},
          {"source", figure.formula->source},
          {"assumptions", std::move(assumptions)},
          {"predicted", value(figure.predicted)},
          {"no_prediction", figure.no_prediction},
          {"simulated", value(figure.simulated)},
          {"measured_on", figure.measured_on},
          {"no_simulation", figure.no_simulation},
          {"bound", {{"relative", figure.bound.relative}, {"absolute", figure.bound.absolute}}},
          {"deviation", value(figure.deviation())},
          {"verdict", sizing::name_of(figure.verdict())},
          {"remark", figure.remark}};
}

Json points_json(const std::vector<sizing::Point>& points) {
  Json s = Json::array();
  Json values = Json::array();
  for (const sizing::Point& point : points) {
    s.push_back(rounded(point.s, 6));
    values.push_back(rounded(point.value, 4));
  }
  return {{"s", std::move(s)}, {"values", std::move(values)}};
}

}  // namespace

Json sizing_section(const sizing::Sizing& sizing) {
  Json figures = Json::array();
  for (const sizing::Figure& each : sizing.figures) figures.push_back(figure_json(each));
  Json curves = Json::array();
  for (const sizing::Curve& each : sizing.curves) {
    curves.push_back({{"id", each.id},
                      {"what", each.what},
                      {"unit", each.unit},
                      {"log_axis", each.log_axis},
                      {"predicted", points_json(each.predicted)},
                      {"simulated", points_json(each.simulated)}});
  }
  Json floors = Json::array();
  for (const std::vector<double>& row : sizing.floors.ppm) {
    Json values = Json::array();
    for (const double ppm : row) values.push_back(rounded(ppm, 3));
    floors.push_back(std::move(values));
  }
  return {{"holds", sizing.holds()},
          {"cycle_problem", sizing.cycle_problem},
          {"figures", std::move(figures)},
          {"curves", std::move(curves)},
          {"floors",
           {{"flows_L_per_min", sizing.floors.flows_L_per_min},
            {"ingress_L_per_min", sizing.floors.ingress_L_per_min},
            {"ppm", std::move(floors)},
            {"level_ppm", sizing.floors.level_ppm}}}};
}

}  // namespace ovenproof::evidence
