#pragma once
#include <memory>
#include <string>
#include <valijson/adapters/nlohmann_json_adapter.hpp>
#include <valijson/schema.hpp>
#include <valijson/schema_parser.hpp>
#include <valijson/validator.hpp>

#include <nlohmann/json.hpp>

#include "sim/machine/yaml_tree.hpp"

/// YAML files against a JSON Schema, by a library that knows nothing of our readers.
namespace ovenproof::test {

/// YAML as an editor's validator sees it: plain scalars resolved by the core schema of YAML 1.2.
inline nlohmann::json as_json(const machine::Node& node) {
  using Kind = machine::Node::Kind;
  using nlohmann::json;
  switch (node.kind) {
    case Kind::map: {
      json object = json::object();
      for (const machine::Node& child : node.children) object[child.key] = as_json(child);
      return object;
    }
    case Kind::sequence: {
      json list = json::array();
      for (const machine::Node& child : node.children) list.push_back(as_json(child));
      return list;
    }
    case Kind::scalar: {
      if (node.quoted) return node.text;
      const json parsed = json::parse(node.text, nullptr, false);
      return parsed.is_number() || parsed.is_boolean() ? parsed : json(node.text);
    }
    default:
      return nullptr;
  }
}

class YamlSchema {
 public:
  /// `text`: the JSON Schema.
  explicit YamlSchema(const std::string& text) : document_(nlohmann::json::parse(text)) {
    valijson::SchemaParser().populateSchema(valijson::adapters::NlohmannJsonAdapter(document_),
                                            schema_);
  }

  [[nodiscard]] bool fits(const std::string& yaml) const {
    const nlohmann::json value = as_json(machine::read_yaml(yaml, "test.yaml").root);
    return valijson::Validator().validate(schema_, valijson::adapters::NlohmannJsonAdapter(value),
                                          nullptr);
  }

 private:
  nlohmann::json document_;
  valijson::Schema schema_;
};

}  // namespace ovenproof::test
