#pragma once
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "sim/machine/error.hpp"

namespace ovenproof::machine {

/// What in the text of a good machine file can stand but should be looked at, each with its place;
/// nothing for a file with errors. `name` is what the file is called in them.
std::vector<Error> warnings_in_text(std::string_view text, const std::string& name);

/// The same of a file.
std::vector<Error> warnings_in_file(const std::filesystem::path& path);

}  // namespace ovenproof::machine
