#include "sim/machine/schema.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "sim/machine/keys.hpp"

namespace ovenproof::machine {

namespace {

using Json = nlohmann::ordered_json;

/// A regular expression (ECMA 262) for a quantity: a decimal number, then one of the units.
std::string pattern(Dimension dimension) {
  std::string units;
  for (const Unit& unit : units_of(dimension)) {
    if (!units.empty()) units += '|';
    for (const char c : unit.symbol) {
      if (c == '(' || c == ')') units += '\\';
      units += c;
    }
  }
  return fmt::format(
      R"(^[ \t]*[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]+)?[ \t]*({})[ \t]*$)", units);
}

std::string_view pattern(TextForm form) {
  switch (form) {
    case TextForm::tag:
      return "^[A-Z][A-Z0-9.-]*$";
    case TextForm::date:
      return "^[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$";
    case TextForm::digest:
      return "^[0-9a-f]{32}$";
    case TextForm::any:
      break;
  }
  return "";
}

Json value_schema(const Key& key) {
  Json schema;
  switch (key.kind) {
    case KeyKind::text:
      schema["type"] = "string";
      schema["minLength"] = 1;
      schema["maxLength"] = static_cast<int>(key.maximum);
      if (const std::string_view form = pattern(key.form); !form.empty()) schema["pattern"] = form;
      break;
    case KeyKind::names:
      schema["type"] = "array";
      schema["minItems"] = 1;
      schema["maxItems"] = static_cast<int>(key.maximum);
      schema["uniqueItems"] = true;
      if (key.choices.empty()) {
        schema["items"] = {{"type", "string"}, {"minLength", 1}, {"maxLength", longest_name}};
      } else {
        schema["items"]["enum"] = key.choices;
      }
      break;
    case KeyKind::flag:
      schema["type"] = "boolean";
      break;
    case KeyKind::choice:
      schema["enum"] = key.choices;
      // A word of digits alone is a number to YAML unless it stands in quotes.
      for (const std::string_view word : key.choices) {
        if (word.find_first_not_of("0123456789") == std::string_view::npos) {
          schema["enum"].push_back(std::stoi(std::string(word)));
        }
      }
      break;
    case KeyKind::count:
      schema["type"] = "integer";
      schema["minimum"] = static_cast<long long>(key.minimum);
      schema["maximum"] = static_cast<long long>(key.maximum);
      break;
    case KeyKind::quantity:
      if (key.dimension == Dimension::number) {
        schema["type"] = "number";
        schema["minimum"] = key.minimum;
        schema["maximum"] = key.maximum;
      } else if (key.dimension == Dimension::ratio) {
        Json share{{"type", "number"}, {"minimum", key.minimum}, {"maximum", key.maximum}};
        schema["oneOf"] = Json::array(
            {std::move(share), {{"type", "string"}, {"pattern", pattern(key.dimension)}}});
      } else {
        schema["type"] = "string";
        schema["pattern"] = pattern(key.dimension);
      }
      break;
  }
  std::string text(key.what);
  text += fmt::format(". Accepts {}.", accepts_text(key));
  if (const std::string standard = default_text(key); !standard.empty())
    text += fmt::format(" Default: {}.", standard);
  schema["description"] = std::move(text);
  return schema;
}

Json object_schema(std::string_view title) {
  Json schema;
  schema["description"] = title;
  schema["type"] = "object";
  schema["additionalProperties"] = false;
  schema["properties"] = Json::object();
  return schema;
}

Json list_schema(const List& list) {
  Json schema;
  schema["description"] = list.title;
  schema["type"] = "array";
  schema["minItems"] = 1;
  schema["maxItems"] = list.most;
  schema["items"] = object_schema(list.item);
  return schema;
}

}  // namespace

std::string json_schema() {
  Json root;
  root["$schema"] = "http://json-schema.org/draft-07/schema#";
  root["title"] = "Ovenproof machine file";
  root.update(object_schema("One inert-gas-purged oven as built"));
  Json required = Json::array();
  for (const Key& key : all_keys()) {
    // Where a key of a part is required, the part decides, which is beyond an editor's help.
    const bool always = key.required && key.part == Part::every_oven;
    const List* list = list_of(key.path);
    const std::size_t dot = key.path.find_last_of('.');
    const std::string name = dot == std::string::npos ? key.path : key.path.substr(dot + 1);
    // Insertion moves the members of an ordered object: `group` is looked up anew after each.
    Json* group = &root;
    if (dot != std::string::npos) {
      const std::string section = key.path.substr(0, key.path.find('.'));
      Json& own = root["properties"][section];
      if (own.is_null()) own = object_schema(section_title(section));
      group = &own;
      if (always && (list == nullptr || list->required)) required.push_back(section);
    }
    if (list != nullptr) {
      const std::string own(list->path.substr(list->path.find('.') + 1));
      if (!(*group)["properties"].contains(own)) {
        (*group)["properties"][own] = list_schema(*list);
        if (list->required) (*group)["required"].push_back(own);
      }
      group = &(*group)["properties"][own]["items"];
    }
    (*group)["properties"][name] = value_schema(key);
    if (always) (*group)["required"].push_back(name);
  }
  for (const Json& section : required) {
    Json& all = root["required"];
    if (std::find(all.begin(), all.end(), section) == all.end()) all.push_back(section);
  }
  return root.dump(2) + "\n";
}

}  // namespace ovenproof::machine
