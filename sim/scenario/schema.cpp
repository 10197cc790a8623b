#include "sim/scenario/schema.hpp"

#include <nlohmann/json.hpp>

#include "sim/scenario/file_keys.hpp"
#include "sim/scenario/table.hpp"

namespace ovenproof::scenario {
namespace {

using Json = nlohmann::ordered_json;

Json reference(const char* name) { return {{"$ref", std::string("#/definitions/") + name}}; }

Json list_of(Json item) { return {{"type", "array"}, {"items", std::move(item)}}; }

Json shape_schema(Shape shape) {
  switch (shape) {
    case Shape::text:
      return reference("text");
    case Shape::text_or_list:
      return {{"oneOf", Json::array({reference("text"), list_of(reference("text"))})}};
    case Shape::steps:
      return list_of(reference("step"));
    case Shape::expectations:
      return list_of(
          {{"oneOf", Json::array({Json{{"type", "string"}}, reference("expectation")})}});
    case Shape::waivers:
      return list_of(reference("waiver"));
    case Shape::until:
      return {{"oneOf", Json::array({reference("text"), reference("until")})}};
    case Shape::table:
      return {{"oneOf", Json::array({reference("row"), list_of(reference("row"))})}};
    case Shape::map:
      break;
  }
  return {{"type", "object"}};
}

template <std::size_t count>
void add_keys(Json& object, const std::array<FileKey, count>& keys) {
  for (const FileKey& key : keys) {
    Json value = shape_schema(key.shape);
    // Beside a reference, draft-07 ignores everything else.
    if (value.contains("$ref")) value = {{"allOf", Json::array({std::move(value)})}};
    value["description"] = key.what;
    object["properties"][std::string(key.name)] = std::move(value);
    if (key.required) object["required"].push_back(key.name);
  }
}

Json object_schema(const char* description) {
  return {{"description", description},
          {"type", "object"},
          {"additionalProperties", false},
          {"properties", Json::object()}};
}

/// A value, which YAML may take for a number or a truth; `{column}` alone is a map to YAML.
Json text_schema() {
  Json column{{"type", "object"}, {"minProperties", 1}, {"maxProperties", 1}};
  column["additionalProperties"] = {{"type", "null"}};
  return {{"oneOf", Json::array({Json{{"type", Json::array({"string", "number", "boolean"})}},
                                 std::move(column)})}};
}

Json row_schema() {
  Json value{
      {"oneOf", Json::array({Json{{"type", Json::array({"string", "number", "boolean"})}},
                             list_of({{"type", Json::array({"string", "number", "boolean"})}})})}};
  Json row{{"description", "columns with their values"}, {"type", "object"}};
  row["patternProperties"]["^[A-Za-z_][A-Za-z0-9_]*$"] = std::move(value);
  row["additionalProperties"] = false;
  return row;
}

}  // namespace

std::string json_schema() {
  Json root{{"$schema", "http://json-schema.org/draft-07/schema#"},
            {"title", "Ovenproof scenario file"}};
  root.update(object_schema("What is done to an oven, and what must hold"));
  add_keys(root, case_keys);
  Json step = object_schema("When it is due, and what is done");
  add_keys(step, trigger_keys);
  add_keys(step, action_keys);
  Json expectation = object_schema("What must hold");
  add_keys(expectation, expectation_keys);
  Json waiver = object_schema("A default hazard brought about on purpose");
  add_keys(waiver, waiver_keys);
  Json until = object_schema("The condition that ends the case");
  add_keys(until, until_keys);
  root["definitions"] = {{"text", text_schema()},       {"row", row_schema()},
                         {"step", std::move(step)},     {"expectation", std::move(expectation)},
                         {"waiver", std::move(waiver)}, {"until", std::move(until)}};
  return root.dump(2) + "\n";
}

}  // namespace ovenproof::scenario
