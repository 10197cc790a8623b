#pragma once
#include <optional>
#include <string>
#include <vector>

#include "sim/scenario/case.hpp"
#include "sim/scenario/reporter.hpp"

namespace ovenproof::scenario {

/// A condition of the property language, compiled as "never (condition)": violated in the scan in
/// which it comes. What is wrong is reported.
std::optional<properties::Property> read_condition(const machine::Node& node,
                                                   const std::string& key, const OvenContext& oven,
                                                   Reporter& reporter);

/// The list under `expect`: properties, and shorthands that become properties.
std::vector<Expectation> read_expectations(const machine::Node& list, const OvenContext& oven,
                                           Reporter& reporter);

/// Ids under `covers`, each a known requirement or hazard.
std::vector<std::string> read_covers(const machine::Node& node, const std::string& key,
                                     Reporter& reporter);

/// Text of a node, or of each node of a list.
std::vector<std::string> read_texts(const machine::Node& node, const std::string& key,
                                    std::string_view expected, Reporter& reporter);

/// Reports each key of a map that is not among `known`.
void report_unknown_keys(const machine::Node& map, const std::string& path,
                         const std::vector<std::string>& known, Reporter& reporter);

}  // namespace ovenproof::scenario
