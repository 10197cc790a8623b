#pragma once
#include <string>

namespace ovenproof::scenario {

/// The JSON Schema (draft-07) of scenario files, made from the tables that also read them. Editors
/// use it; the reader knows more.
std::string json_schema();

}  // namespace ovenproof::scenario
