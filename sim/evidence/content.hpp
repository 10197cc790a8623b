#pragma once
#include <string>
#include <string_view>
#include <vector>

namespace ovenproof::evidence {

/// How grave a verdict is; of what is no verdict: none.
enum class Weight { none, good, aside, bad };

/// One thing that a document says, apart from all others.
struct Entry {
  std::string group;  ///< "settings", "verdicts", ...: one of `content_groups`
  std::string key;    ///< names it within its group, in every document alike: "purge.gate"
  std::string text;   ///< what is said of it: "100 ppm"
  Weight weight = Weight::none;
  /// What had to be done for it to be said: "proof"; empty if it follows from the machine alone.
  std::string part;
};

/// What a document says, for two of them to be compared.
struct Content {
  std::string machine;             ///< its name
  std::vector<std::string> parts;  ///< what was done, of `content_parts`
  std::vector<Entry> entries;      ///< in the order of the document; no two share group and key
};

/// In the order in which they are told.
inline constexpr std::string_view content_groups[] = {
    "work",   "verdicts",    "margins",   "settings", "I/O list",
    "matrix", "state chart", "reachable", "figures",  "build"};
inline constexpr std::string_view content_parts[] = {"cycle", "scenarios", "proof", "campaign",
                                                     "sizing"};

/// Reads a document of ours (`document`), and, where it is not empty, the scenarios.json beside it
/// for margins. Numbers are told in six significant digits. Throws std::runtime_error if it is
/// none.
Content content_of(const std::string& document, const std::string& scenarios);

}  // namespace ovenproof::evidence
