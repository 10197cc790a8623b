#pragma once
#include <array>
#include <map>
#include <string>
#include <string_view>

#include "sim/machine/machine.hpp"

namespace ovenproof::test {

inline const std::string source_dir = SOURCE_DIR;

/// The machines that come with the program, as paths.
inline const std::array<std::string, 3> demo_files{
    source_dir + "/scenarios/machines/bronze_strip_160.yaml",
    source_dir + "/scenarios/machines/titanium_bracket_90.yaml",
    source_dir + "/scenarios/machines/coil_anneal_300.yaml"};

/// The machine in a file that must be good; fails the test if it is not.
machine::Machine must_load(const std::string& path);

/// A machine as a file in which every key that applies is stated. `instead` gives other text for
/// single keys, by full path ("programme.segments[1].soak").
std::string written(const machine::Machine& machine,
                    const std::map<std::string, std::string>& instead = {});

/// The bytes of a file.
std::string contents(const std::string& path);

}  // namespace ovenproof::test
