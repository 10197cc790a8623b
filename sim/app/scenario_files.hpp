#pragma once
#include <string>
#include <vector>

#include "sim/cycle/plan.hpp"
#include "sim/machine/error.hpp"
#include "sim/scenario/suite.hpp"

namespace ovenproof::app {

enum class FileKind { machine, scenario, other };

/// What a file seems to be, by its keys. A file that cannot be read is `other`.
FileKind kind_of(const std::string& path);

/// What paths hold.
struct Found {
  std::vector<scenario::Item> items;     ///< in the order of the paths, files of a folder by name
  std::vector<machine::Error> errors;    ///< of all files
  std::vector<std::string> passed_over;  ///< files of folders that are neither machine nor scenario
};

/// Reads machines and scenarios, and those below folders (`.yaml` and `.yml`). A machine becomes a
/// run of whole cycles by `plan`.
Found find_items(const std::vector<std::string>& paths, const cycle::Plan& plan);

}  // namespace ovenproof::app
