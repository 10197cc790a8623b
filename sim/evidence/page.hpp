#pragma once
#include <string>
#include <string_view>

namespace ovenproof::evidence {

/// The page as one file that needs nothing else: styles, scripts and the document are inside it.
///
/// \param title in the browser's title bar, any text
/// \param document JSON, of `document()`
std::string page(std::string_view title, std::string_view document);

}  // namespace ovenproof::evidence
