#include "sim/evidence/page.hpp"

#include <stdexcept>

#include <fmt/format.h>

#include "sim/evidence/assets.hpp"

namespace ovenproof::evidence {
namespace {

std::string escaped_html(std::string_view text) {
  std::string out;
  for (const char c : text) {
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      default:
        out += c;
    }
  }
  return out;
}

/// JSON that no parser of HTML takes for markup, whatever its strings hold.
std::string escaped_json(std::string_view json) {
  std::string out;
  out.reserve(json.size() + json.size() / 64);
  for (const char c : json) {
    if (c == '<') {
      out += "\\u003c";
    } else {
      out += c;
    }
  }
  return out;
}

/// The texts of all assets of that kind, one after the other.
std::string joined(std::string_view ending) {
  std::string out;
  for (const Asset& asset : assets()) {
    if (!asset.name.ends_with(ending)) continue;
    out += asset.text;
    if (!out.ends_with('\n')) out += '\n';
  }
  return out;
}

}  // namespace

std::string page(std::string_view title, std::string_view document) {
  const std::string frame = joined(".html");
  std::string_view rest = frame;
  std::string out;
  // `{{name}}` stands where a part belongs; what is put in is not looked at again.
  while (true) {
    const std::size_t open = rest.find("{{");
    out += rest.substr(0, open);
    if (open == std::string_view::npos) return out;
    const std::size_t close = rest.find("}}", open);
    const std::string_view name = rest.substr(open + 2, close - open - 2);
    if (name == "title") {
      out += escaped_html(title);
    } else if (name == "style") {
      out += joined(".css");
    } else if (name == "script") {
      out += joined(".js");
    } else if (name == "document") {
      out += escaped_json(document);
    } else {
      throw std::logic_error(fmt::format("the page has no part {}", name));
    }
    rest.remove_prefix(close + 2);
  }
}

}  // namespace ovenproof::evidence
