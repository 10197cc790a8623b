#pragma once
#include <optional>
#include <string>
#include <vector>

#include "sim/evidence/content.hpp"

namespace ovenproof::evidence {

/// Something that one document says otherwise than another.
struct Alteration {
  std::string group;                  ///< of `content_groups`
  std::string key;                    ///< "purge.gate"
  std::optional<std::string> before;  ///< empty: the first says nothing of it
  std::optional<std::string> after;
  enum class Turn { neither, better, worse } turn = Turn::neither;  ///< of verdicts
};

/// What changed from the first to the second, in the order of `content_groups`, and within a group
/// in that of the documents. What was not done for one of them is told once, and nothing that
/// follows from it.
std::vector<Alteration> changes(const Content& first, const Content& second);

}  // namespace ovenproof::evidence
