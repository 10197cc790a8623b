#pragma once
#include <string>

namespace ovenproof::machine {

/// The reference of all keys as Markdown tables, made from the table of keys.
std::string key_reference();

}  // namespace ovenproof::machine
