#pragma once
#include <string>
#include <vector>

#include "sim/evidence/findings.hpp"

namespace ovenproof::evidence {

/// "ovenproof-evidence": what the document and the manifest call their form, and its version.
inline constexpr const char* document_format = "ovenproof-evidence";
inline constexpr int document_version = 1;

/// The words of the first screen.
struct Summary {
  std::string verdict;                ///< "HOLDS: nothing that was tried failed"
  std::vector<std::string> refuted;   ///< what failed; empty: nothing that was tried did
  std::vector<std::string> accepted;  ///< single failures that end hazardous, who accepts and why
  std::vector<std::string> shown;
  std::vector<std::string> not_covered;
};

/// Everything found, in one JSON object: the page shows this and nothing else, and two packs are
/// compared by it (docs/evidence.md tells what it holds). Depends on the findings alone.
struct Document {
  std::string text;  ///< one line a section, with a newline at the end
  Summary summary;
};
Document document(const Findings& findings, const Making& making);

}  // namespace ovenproof::evidence
