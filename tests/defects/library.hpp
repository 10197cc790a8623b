#pragma once
#include <cstddef>
#include <functional>
#include <string>
#include <vector>

#include "sim/scenario/case.hpp"
#include "sim/scenario/checkpoint.hpp"
#include "sim/scenario/result.hpp"
#include "sim/scenario/suite.hpp"

namespace ovenproof::defects {

using scenario::CaseResult;
using scenario::Checkpoint;

/// The scenarios, and for those that are cases one of the starts they share.
struct Library {
  /// Where cases of one oven begin.
  struct Beginning {
    const scenario::OvenContext* oven = nullptr;
    scenario::Start start;
  };
  static constexpr std::size_t no_beginning = static_cast<std::size_t>(-1);

  std::vector<scenario::Item> items;
  std::vector<Beginning> beginnings;
  std::vector<std::size_t> beginning_of;  ///< of each item; `no_beginning` for whole cycles
};

/// Reads machines, scenarios and folders. Throws std::runtime_error with all that is wrong.
Library load(const std::vector<std::string>& paths);

/// Brings the ovens of `wanted` beginnings to where they are, oven by oven, and calls `reached`
/// with the index of each.
void reach_beginnings(const Library& library, const std::vector<std::size_t>& wanted,
                      const std::function<void(std::size_t, const Checkpoint&)>& reached);

/// Plays one item; `from` is its beginning, unless it has none.
CaseResult play_item(const Library& library, std::size_t item, const Checkpoint* from,
                     bool stop_when_failed);

/// One thing that went wrong: what kind of thing said so, which one, and in words.
struct Finding {
  std::string by;  ///< "expectation", "hazard" or "problem" (it could not be played as written)
  std::string name;
  std::string why;
};

/// Everything that went wrong; nothing if the item passed.
std::vector<Finding> findings_of(const CaseResult& result);

}  // namespace ovenproof::defects
