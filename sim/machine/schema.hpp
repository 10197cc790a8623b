#pragma once
#include <string>

namespace ovenproof::machine {

/// The JSON Schema (draft 7) of machine files, made from the table of keys, for editors. What it
/// cannot say (ranges of quantities in any of their units, contradictions) only the loader judges.
std::string json_schema();

}  // namespace ovenproof::machine
