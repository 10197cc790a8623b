#pragma once
#include <string>

namespace ovenproof::machine {

/// The reference of all units and keys as a Markdown page, made from the table of keys.
std::string key_reference();

}  // namespace ovenproof::machine
