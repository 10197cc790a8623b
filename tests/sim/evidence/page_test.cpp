#include "sim/evidence/page.hpp"

#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

namespace ovenproof::evidence {
namespace {

std::string between(const std::string& text, const std::string& begin, const std::string& end) {
  const std::size_t from = text.find(begin) + begin.size();
  return text.substr(from, text.find(end, from) - from);
}

TEST_CASE("the page holds the document, whatever is in it") {
  for (const std::string text : {"plain", "</script><script>alert(1)</script>", "<!--", "{{title}}",
                                 "\\u003c", "\xc2\xb0"}) {
    const nlohmann::json document{{"text", text}};
    const std::string html = page("title", document.dump());
    const std::string inside = between(html, "id=\"document\">", "</script>");
    CAPTURE(text);
    CHECK(nlohmann::json::parse(inside) == document);
    CHECK(inside.find('<') == std::string::npos);
  }
}

TEST_CASE("the title is text and not markup") {
  CHECK(between(page("a < b & c > d", "{}"), "<title>", "</title>") == "a &lt; b &amp; c &gt; d");
}

TEST_CASE("the page asks for nothing from outside") {
  const std::string html = page("title", "{}");
  CHECK(html.find("{{") == std::string::npos);
  for (const char* wanted : {"<link", " src=", "@import", "url(", "fetch(", "XMLHttpRequest"}) {
    CAPTURE(wanted);
    CHECK(html.find(wanted) == std::string::npos);
  }
  CHECK(html.find("default-src 'none'") != std::string::npos);
}

}  // namespace
}  // namespace ovenproof::evidence
