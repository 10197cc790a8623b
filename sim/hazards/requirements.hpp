#pragma once
#include <string>
#include <vector>

namespace ovenproof::hazards {

/// One rule that the controller must keep, by an id that properties and scenarios carry.
struct Requirement {
  std::string id;    ///< "R-DOOR-OPEN"; stable
  std::string text;  ///< the rule
};

/// All requirements, in the order of documents.
const std::vector<Requirement>& requirements();

}  // namespace ovenproof::hazards
