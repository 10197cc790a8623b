#pragma once
#include <filesystem>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "sim/machine/error.hpp"
#include "sim/machine/machine.hpp"
#include "sim/machine/yaml_tree.hpp"

namespace ovenproof::machine {

/// A machine, or everything that is wrong with its file, in the order of the file.
using Loaded = std::variant<Machine, std::vector<Error>>;

/// Reads a machine from the text of a machine file. `name` is what errors call the file. Any bytes
/// will do: this reports, and never throws.
Loaded load_text(std::string_view text, const std::string& name);

/// The same from a tree that was read already, and may have been changed since.
Loaded load_tree(Tree tree, const std::string& name);

/// The same from a file.
Loaded load_file(const std::filesystem::path& path);

}  // namespace ovenproof::machine
