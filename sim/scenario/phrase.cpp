#include "sim/scenario/phrase.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <variant>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace ovenproof::scenario {
namespace {

using machine::Dimension;
using machine::Node;

constexpr std::array<std::string_view, 5> clause_words{"for", "over", "every", "seed", "mask"};
constexpr double longest_ms = 30.0 * 24 * 3'600'000;

bool is_clause_word(std::string_view word) {
  return std::find(clause_words.begin(), clause_words.end(), word) != clause_words.end();
}

}  // namespace

const std::string* Phrase::clause(std::string_view word) const {
  const auto found =
      std::find_if(clauses.begin(), clauses.end(), [&](const auto& c) { return c.first == word; });
  return found == clauses.end() ? nullptr : &found->second;
}

std::string Phrase::rest(std::size_t from) const {
  std::string text;
  for (std::size_t i = from; i < head.size(); ++i) text += (text.empty() ? "" : " ") + head[i];
  return text;
}

Phrase parse_phrase(std::string_view text) {
  Phrase phrase;
  while (true) {
    const std::size_t begin = text.find_first_not_of(" \t\r\n");
    if (begin == std::string_view::npos) return phrase;
    text.remove_prefix(begin);
    const std::string word(text.substr(0, text.find_first_of(" \t\r\n")));
    text.remove_prefix(word.size());
    if (is_clause_word(word)) {
      phrase.clauses.emplace_back(word, "");
    } else if (phrase.clauses.empty()) {
      phrase.head.push_back(word);
    } else {
      std::string& value = phrase.clauses.back().second;
      value += (value.empty() ? "" : " ") + word;
    }
  }
}

void ValueReader::report(std::string expected, std::string found, std::string hint) {
  reporter_.report(node_, key_, std::move(expected), std::move(found), std::move(hint));
}

void ValueReader::report_unknown(std::string expected, std::string_view word,
                                 const std::vector<std::string>& known) {
  if (node_.kind == Node::Kind::refused) return;
  reporter_.report_unknown(place_of(node_), key_, std::move(expected), word, known);
}

std::optional<Phrase> ValueReader::phrase(std::string_view expected) {
  if (node_.kind == Node::Kind::scalar) {
    Phrase phrase = parse_phrase(node_.text);
    if (!phrase.head.empty()) return phrase;
  }
  report(std::string(expected), machine::described(node_));
  return std::nullopt;
}

bool ValueReader::only_clauses(const Phrase& phrase, const std::vector<std::string_view>& allowed) {
  bool good = true;
  std::vector<std::string_view> seen;
  for (const auto& [word, value] : phrase.clauses) {
    const bool known = std::find(allowed.begin(), allowed.end(), word) != allowed.end();
    const bool again = std::find(seen.begin(), seen.end(), word) != seen.end();
    seen.push_back(word);
    if (known && !again) continue;
    good = false;
    report(again             ? fmt::format("`{}` once", word)
           : allowed.empty() ? "nothing more"
                             : fmt::format("no other clause than `{}`", fmt::join(allowed, "`, `")),
           fmt::format("`{} {}`", word, machine::shown(value)));
  }
  return good;
}

std::optional<double> ValueReader::quantity(std::string_view text, Dimension dimension,
                                            double minimum, double maximum) {
  const std::string unit(machine::base_unit(dimension));
  const auto wanted = [&] {
    return fmt::format("{} from {} to {}", machine::name_of(dimension),
                       machine::format_quantity(minimum, dimension, unit),
                       machine::format_quantity(maximum, dimension, unit));
  };
  const auto parsed = machine::parse_quantity(text, dimension);
  if (const auto* bad = std::get_if<machine::BadQuantity>(&parsed)) {
    report(wanted(), bad->found, fmt::format("units: {}", machine::unit_list(dimension)));
    return std::nullopt;
  }
  const double value = std::get<double>(parsed);
  if (value >= minimum && value <= maximum) return value;
  report(wanted(), fmt::format("\"{}\"", machine::shown(text)));
  return std::nullopt;
}

std::optional<std::uint32_t> ValueReader::duration(std::string_view text, std::uint32_t least) {
  const auto wanted = [&] {
    return fmt::format("a duration from {} ms to 30 days, in whole ms, such as 200 ms or 5 min",
                       least);
  };
  const auto parsed = machine::parse_quantity(text, Dimension::time);
  if (const auto* bad = std::get_if<machine::BadQuantity>(&parsed)) {
    report(wanted(), bad->found);
    return std::nullopt;
  }
  const double ms = std::get<double>(parsed) * 1000.0;
  const double whole = std::round(ms);
  if (ms >= least && ms <= longest_ms && std::fabs(ms - whole) < 1e-6) {
    return static_cast<std::uint32_t>(whole);
  }
  report(wanted(), fmt::format("\"{}\"", machine::shown(text)));
  return std::nullopt;
}

std::optional<std::uint32_t> ValueReader::duration_clause(const Phrase& phrase,
                                                          std::string_view word) {
  const std::string* text = phrase.clause(word);
  return text == nullptr ? std::nullopt : duration(*text, 1);
}

std::optional<std::uint64_t> ValueReader::whole(std::string_view text, std::uint64_t maximum) {
  std::uint64_t value = 0;
  const auto [end, failure] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (failure == std::errc() && end == text.data() + text.size() && value <= maximum) return value;
  report(fmt::format("a whole number from 0 to {}", maximum),
         fmt::format("\"{}\"", machine::shown(text)));
  return std::nullopt;
}

}  // namespace ovenproof::scenario
