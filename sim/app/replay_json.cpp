#include <nlohmann/json.hpp>

#include "firmware/logic/matrix.hpp"
#include "sim/app/cautions.hpp"
#include "sim/app/replay_report.hpp"

namespace ovenproof::app {
namespace {

using Json = nlohmann::ordered_json;
using replay::ReplayResult;

double seconds(std::int64_t ms) { return static_cast<double>(ms) / 1000.0; }

Json text_or_null(const std::string& text) { return text.empty() ? Json() : Json(text); }

Json error_json(const machine::Error& error) {
  return {{"file", error.file}, {"line", error.at.line},      {"column", error.at.column},
          {"key", error.key},   {"expected", error.expected}, {"found", error.found},
          {"hint", error.hint}};
}

Json difference_json(const replay::FoundDifference& found, const ReplayResult& result) {
  const replay::Difference& d = found.difference;
  const bool tripped = d.first_out != logic::Cause::none;
  return {{"output", replay::name_of(d.output)},
          {"from", replay::format_time(d.from_ms, result.survey.time_format)},
          {"from_s", seconds(d.from_ms - result.survey.first_ms)},
          {"to_s", seconds(d.to_ms - result.survey.first_ms)},
          {"ended", d.ended},
          {"line", d.line},
          {"firmware", d.firmware},
          {"recorded", d.recorded},
          {"phase", logic::name_of(d.phase)},
          {"tripped_by", tripped ? Json(logic::row_of(d.first_out).text) : Json()},
          {"excerpt", text_or_null(found.excerpt)}};
}

Json broken_json(const replay::BrokenProperty& found, const ReplayResult& result) {
  const replay::NamedProperty& property = result.judged[found.property];
  return {{"id", property.id},
          {"title", property.title},
          {"property", property.text},
          {"certain", replay::format_time(found.ms, result.survey.time_format)},
          {"certain_s", seconds(found.ms - result.survey.first_ms)},
          {"line", found.line},
          {"excerpt", text_or_null(found.excerpt)}};
}

Json stretch_json(const replay::Stretch& stretch, const ReplayResult& result) {
  const std::int64_t zero = result.survey.first_ms;
  Json json{{"from_s", seconds(stretch.from_ms - zero)},
            {"to_s", seconds(stretch.to_ms - zero)},
            {"line", stretch.from_line}};
  json["compared_from_s"] = stretch.in_step_ms ? Json(seconds(*stretch.in_step_ms - zero)) : Json();
  json["never_in_step_by"] = stretch.never_in_step_by;
  return json;
}

Json log_json(const ReplayResult& result) {
  const replay::Survey& survey = result.survey;
  Json json{{"rows", survey.rows},
            {"from", replay::format_time(survey.first_ms, survey.time_format)},
            {"to", replay::format_time(survey.last_ms, survey.time_format)},
            {"time_format", replay::name_of(survey.time_format)},
            {"interval_s", seconds(survey.interval_ms)},
            {"gap_limit_s", seconds(result.gap_limit_ms)},
            {"gap_count", result.gap_count},
            {"rows_with_the_time_before", survey.same_time},
            {"errors_in_rows_left_out", result.rows_skipped}};
  json["gaps"] = Json::array();
  for (const replay::Gap& gap : result.gaps) {
    json["gaps"].push_back({{"from_s", seconds(gap.from_ms - survey.first_ms)},
                            {"to_s", seconds(gap.to_ms - survey.first_ms)},
                            {"line", gap.line}});
  }
  json["left_out"] = Json::array();
  for (const machine::Error& error : result.skipped) json["left_out"].push_back(error_json(error));
  json["columns"] = Json::array();
  for (std::size_t i = 0; i < survey.columns.size(); ++i) {
    json["columns"].push_back({{"column", result.layout.columns[i].mapping.column},
                               {"signal", replay::name_of(result.layout.columns[i].mapping.signal)},
                               {"empty", survey.columns[i].empty},
                               {"longest_empty_s", seconds(survey.columns[i].longest_empty_ms)}});
  }
  json["columns_ignored"] = result.layout.ignored;
  json["columns_missing"] = result.layout.missing;
  return json;
}

std::string dump(const Json& json) {
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + '\n';
}

}  // namespace

std::string replay_json(const machine::Machine& machine, const replay::Request& request,
                        const ReplayResult& result) {
  Json json{{"machine", machine.name},
            {"file", request.log.string()},
            {"all_holds", result.all_holds()},
            {"rows_compared", result.rows_compared},
            {"tolerance_s", seconds(result.tolerance.ms)},
            {"drive_tolerance", result.tolerance.drive},
            {"difference_count", result.difference_count},
            {"broken_count", result.broken_count}};
  json["outputs"] = Json::array();
  for (const replay::ComparedOutput& each : result.outputs) {
    json["outputs"].push_back(replay::name_of(each.signal));
  }
  json["differences"] = Json::array();
  for (const replay::FoundDifference& each : result.differences) {
    json["differences"].push_back(difference_json(each, result));
  }
  json["broken"] = Json::array();
  for (const replay::BrokenProperty& each : result.broken) {
    json["broken"].push_back(broken_json(each, result));
  }
  json["stretches"] = Json::array();
  for (const replay::Stretch& each : result.stretches) {
    json["stretches"].push_back(stretch_json(each, result));
  }
  json["log"] = log_json(result);
  json["assumed"] = Json::array();
  for (const replay::Assumption& each : result.assumptions) {
    json["assumed"].push_back({{"input", replay::name_of(each.input)}, {"value", each.text}});
  }
  json["judged"] = Json::array();
  for (const replay::NamedProperty& each : result.judged) json["judged"].push_back(each.id);
  json["not_judged"] = Json::array();
  for (const replay::Unjudged& each : result.unjudged) {
    json["not_judged"].push_back({{"id", each.property.id}, {"needs", each.missing}});
  }
  json["caution"] = caution;
  return dump(json);
}

std::string replay_errors_json(const replay::ErrorList& errors) {
  Json json{{"error_count", errors.count()}, {"errors", Json::array()}};
  for (const machine::Error& error : errors.kept()) json["errors"].push_back(error_json(error));
  return dump(json);
}

}  // namespace ovenproof::app
