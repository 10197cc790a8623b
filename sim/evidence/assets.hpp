#pragma once
#include <span>
#include <string_view>

namespace ovenproof::evidence {

/// A file of the page, embedded when the program is built.
struct Asset {
  std::string_view name;  ///< "trends.js"
  std::string_view text;
};

/// All of them, in the order in which the page takes them up.
std::span<const Asset> assets();

}  // namespace ovenproof::evidence
