#pragma once
#include <string>
#include <vector>

#include "sim/app/terminal.hpp"
#include "sim/evidence/comparison.hpp"

namespace ovenproof::app {

/// Two things that were compared.
struct Compared {
  std::string path[2];     ///< as the user named them
  std::string machine[2];  ///< names of the ovens
  std::vector<evidence::Alteration> changes;
};

/// For people; of each group at most `most` changes, 0: all.
std::string diff_report(const Compared& compared, std::size_t most, const Style& style);
std::string diff_json(const Compared& compared);

}  // namespace ovenproof::app
