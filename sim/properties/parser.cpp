#include <functional>
#include <optional>
#include <string>
#include <utility>

#include <boost/spirit/home/x3.hpp>

#include "sim/properties/syntax_builder.hpp"
#include "sim/properties/tokens.hpp"

namespace ovenproof::properties {
namespace {

namespace x3 = boost::spirit::x3;

constexpr std::size_t most_text = 16384;  // bytes
constexpr int deepest = 40;               // levels of parentheses, `not`, `implies` ...

struct builder_tag;

template <typename Context>
Builder& builder(const Context& context) {
  return x3::get<builder_tag>(context).get();
}

/// Runs `act(builder)` when its subject has matched.
template <typename Act>
auto does(Act act) {
  return [act](auto& context) { act(builder(context)); };
}

/// Parsers below work on offsets into the builder's text.
template <typename Derived>
struct TokenParser : x3::parser<Derived> {
  using attribute_type = x3::unused_type;
  static constexpr bool has_attribute = false;

  template <typename Iterator, typename Context, typename Attribute>
  bool parse(Iterator& first, const Iterator&, const Context& context, x3::unused_type,
             Attribute&) const {
    Builder& b = builder(context);
    const auto offset = static_cast<std::size_t>(first - b.text.data());
    const std::optional<std::size_t> end = this->derived().match(b, skip_space(b.text, offset));
    if (end) first = b.text.data() + *end;
    return end.has_value();
  }
};

/// A word or a mark, remembered for the node it will make if `keep`.
struct word_parser : TokenParser<word_parser> {
  std::string_view word;
  bool keep;

  std::optional<std::size_t> match(Builder& b, std::size_t offset) const {
    if (b.text.substr(offset, word.size()) != word) return std::nullopt;
    const bool letters = word.front() >= 'a' && word.front() <= 'z';
    const std::size_t end = letters ? token_at(b.text, offset).end : offset + word.size();
    if (end != offset + word.size()) return std::nullopt;
    if (keep) b.words.push_back({offset, end});
    return end;
  }
};

word_parser word(std::string_view text) { return {{}, text, false}; }
word_parser kept(std::string_view text) { return {{}, text, true}; }

/// One of the comparisons, longest first.
struct comparison_parser : TokenParser<comparison_parser> {
  std::optional<std::size_t> match(Builder& b, std::size_t offset) const {
    for (const std::string_view mark : {"<=", ">=", "!=", "<", ">", "="}) {
      if (b.text.substr(offset, mark.size()) == mark) {
        b.words.push_back({offset, offset + mark.size()});
        return offset + mark.size();
      }
    }
    return std::nullopt;
  }
};

struct name_parser : TokenParser<name_parser> {
  std::optional<std::size_t> match(Builder& b, std::size_t offset) const {
    const Span token = token_at(b.text, offset);
    const std::string_view name = b.text.substr(token.begin, token.end - token.begin);
    if (!is_name(name) || is_reserved_word(name)) return std::nullopt;
    SyntaxNode node;
    node.kind = Syntax::name;
    node.span = node.word = token;
    b.push(std::move(node));
    return token.end;
  }
};

struct label_parser : TokenParser<label_parser> {
  std::optional<std::size_t> match(Builder& b, std::size_t offset) const {
    const Span token = token_at(b.text, offset);
    const std::string_view name = b.text.substr(token.begin, token.end - token.begin);
    if (!is_name(name) || is_reserved_word(name)) return std::nullopt;
    b.labels.push_back(token);
    return token.end;
  }
};

struct number_parser : TokenParser<number_parser> {
  std::optional<std::size_t> match(Builder& b, std::size_t offset) const {
    const Span number = number_at(b.text, offset);
    if (number.begin == number.end) return std::nullopt;
    const Span unit = unit_at(b.text, skip_space(b.text, number.end));
    SyntaxNode node;
    node.kind = Syntax::number;
    node.word = number;
    node.span = {number.begin, unit.begin == unit.end ? number.end : unit.end};
    b.push(std::move(node));
    return b.tree.nodes.back().span.end;
  }
};

struct margin_unit_parser : TokenParser<margin_unit_parser> {
  std::optional<std::size_t> match(Builder& b, std::size_t offset) const {
    const Span unit = unit_at(b.text, offset);
    if (unit.begin == unit.end) return std::nullopt;
    b.tree.margin_unit = unit;
    return unit.end;
  }
};

/// Stands for an operand that is missing: reports it, skips to where reading can go on, and leaves
/// an error node in its place. Never fails.
struct missing_operand : TokenParser<missing_operand> {
  std::string_view expected;

  std::optional<std::size_t> match(Builder& b, std::size_t offset) const {
    b.report(offset, std::string(expected));
    SyntaxNode node;
    node.span = token_at(b.text, offset);
    b.push(std::move(node));
    return recovery_point(b.text, offset);
  }
};

/// Stands for a word or mark that is missing: reports it and goes on in the same place.
struct missing_word : TokenParser<missing_word> {
  std::string_view expected;
  bool keep;

  std::optional<std::size_t> match(Builder& b, std::size_t offset) const {
    b.report(offset, std::string(expected));
    if (keep) b.words.push_back({offset, offset});
    return offset;
  }
};

missing_operand or_missing(std::string_view expected) { return {{}, expected}; }
missing_word or_report(std::string_view expected) { return {{}, expected, false}; }
auto need(std::string_view text, std::string_view quoted) { return word(text) | or_report(quoted); }

/// Bounds the depth of recursion, so that no text can exhaust the stack.
template <typename Subject>
struct deeper_directive : x3::unary_parser<Subject, deeper_directive<Subject>> {
  using x3::unary_parser<Subject, deeper_directive<Subject>>::unary_parser;
  using attribute_type = x3::unused_type;
  static constexpr bool has_attribute = false;

  template <typename Iterator, typename Context, typename RContext, typename Attribute>
  bool parse(Iterator& first, const Iterator& last, const Context& context, RContext& rcontext,
             Attribute& attribute) const {
    Builder& b = builder(context);
    if (b.depth >= deepest) {
      b.report(static_cast<std::size_t>(first - b.text.data()), "at most 40 levels of nesting");
      b.push({});
      first = last;  // nothing after this can be understood
      return true;
    }
    ++b.depth;
    const bool matched = this->subject.parse(first, last, context, rcontext, attribute);
    --b.depth;
    return matched;
  }
};

template <typename Subject>
auto deeper(const Subject& subject) {
  return deeper_directive<typename x3::extension::as_parser<Subject>::value_type>(
      x3::as_parser(subject));
}

auto makes(Syntax kind, std::size_t count, bool word_first = true) {
  return does([=](Builder& b) { b.make(kind, count, word_first); });
}

auto chains(Syntax kind) {
  return does([=](Builder& b) { b.make_chain(kind); });
}

auto makes_bounded(Syntax kind) {
  return does([=](Builder& b) {
    b.make(kind, 1, true);
    b.take_interval();
  });
}

/// Of the past: it reads as tight as `not`, and reaches as far as `always`.
auto makes_bounded_past(Syntax kind) {
  return does([=](Builder& b) {
    b.make(kind, 1, true);
    b.take_interval();
    b.refuse_reach(b.node(b.operands.back()));
  });
}

auto makes_bounded_pair(Syntax kind) {
  return does([=](Builder& b) {
    b.make(kind, 2, false);
    b.take_interval();
  });
}

auto bounds(Bound bound) {
  return does([=](Builder& b) { b.push_interval(bound); });
}

using x3::eps;

const x3::rule<struct formula_rule> formula = "formula";
const x3::rule<struct implication_rule> implication = "implication";
const x3::rule<struct negation_rule> negation = "negation";
const x3::rule<struct unary_rule> unary = "unary";

const auto open = need("(", "`(`");
const auto close = need(")", "`)`");

const auto duration = number_parser{} | name_parser{} | or_missing("a duration such as `200 ms`");

const auto interval = (word("within") >> duration)[bounds(Bound::within)] |
                      (word("for") >> duration)[bounds(Bound::for_)] |
                      (word("[") >> duration >> need(",", "`,`") >> duration >>
                       need("]", "`]`"))[bounds(Bound::range)] |
                      eps[bounds(Bound::none)];

// ---- values
const auto call = (kept("abs") >> open >> formula >> close)[makes(Syntax::call, 1)] |
                  ((kept("min") | kept("max")) >> open >> formula >> need(",", "`,`") >> formula >>
                   close)[makes(Syntax::call, 2)];

const auto edge = (kept("rises") >> open >> formula >> close)[makes(Syntax::rises, 1)] |
                  (kept("falls") >> open >> formula >> close)[makes(Syntax::falls, 1)] |
                  (kept("changes") >> open >> formula >> close)[makes(Syntax::changes, 1)];

const auto primary = number_parser{} | call | edge |
                     (kept("true") | kept("false"))[makes(Syntax::truth, 0)] |
                     (word("(") >> formula >> close)[does([](Builder& b) { b.enclose(); })] |
                     name_parser{} | or_missing("a condition or a value");

const auto unary_def = (kept("-") >> deeper(unary))[makes(Syntax::negative, 1)] | primary;

const auto product = unary >>
                     *(((kept("*") | kept("/")) >> unary)[makes(Syntax::arithmetic, 2, false)]);
const auto sum = product >>
                 *(((kept("+") | kept("-")) >> product)[makes(Syntax::arithmetic, 2, false)]);

// ---- conditions
const auto label = label_parser{} | or_report("a label of the state");
const auto labels = (word("{") >> label >> *(word(",") >> label) >> need("}", "`,` or `}`")) |
                    (or_report("`{`") >> -label_parser{});

const auto comparison = sum >> -((comparison_parser{} >> sum)[makes(Syntax::compare, 2, false)] |
                                 (kept("in") >> labels)[does([](Builder& b) { b.make_member(); })]);

const auto temporal =
    (kept("always") >> interval >> formula)[makes_bounded(Syntax::always)] |
    (kept("never") >> interval >> formula)[makes_bounded(Syntax::never)] |
    (kept("eventually") >> interval >> formula)[makes_bounded(Syntax::eventually)] |
    (kept("once") >> interval >> formula)[makes_bounded_past(Syntax::once)] |
    (kept("historically") >> interval >> formula)[makes_bounded_past(Syntax::historically)] |
    (kept("at_start") >> formula)[makes(Syntax::at_start, 1)] |
    (kept("at_end") >> formula)[makes(Syntax::at_end, 1)];

const auto after = (kept("within") >> duration >> need("after", "`after`") >> formula >>
                    (word(":") | word("then") | or_report("`:` or `then`")) >>
                    formula)[does([](Builder& b) { b.make_after(); })];

const auto negation_def =
    (kept("not") >> deeper(negation))[makes(Syntax::negation, 1)] | temporal | after | comparison;

const auto held = negation >>
                  *((kept("for") >> need("at", "`at least`") >> need("least", "`least`") >>
                     duration)[does([](Builder& b) { b.make_held_for(); })]);

const auto bound_pair = held >>
                        -((kept("until") >> interval >> held)[makes_bounded_pair(Syntax::until)] |
                          (kept("since") >> interval >> held)[makes_bounded_pair(Syntax::since)]);

const auto conjunction = bound_pair >> *((kept("and") >> bound_pair)[chains(Syntax::conjunction)]);
const auto disjunction = conjunction >> *((kept("or") >> conjunction)[chains(Syntax::disjunction)]);

const auto implication_def = disjunction >>
                             -((kept("implies") >>
                                deeper(implication))[makes(Syntax::implication, 2, false)]);

const auto formula_def = deeper(implication);

BOOST_SPIRIT_DEFINE(formula, implication, negation, unary)

const auto property = formula >>
                      -(word(",") >> need("margin", "`margin in UNIT`") >> need("in", "`in`") >>
                        (margin_unit_parser{} | or_report("a unit")));

}  // namespace

SyntaxTree parse(std::string_view text, std::vector<Diagnostic>& errors) {
  Builder b{text, errors};
  if (text.size() > most_text) {
    b.report(most_text, "a property of at most 16384 bytes");
    return std::move(b.tree);
  }
  const char* first = text.data();
  const char* const last = first + text.size();
  const auto grammar = x3::with<builder_tag>(std::ref(b))[property];
  for (;;) {
    x3::parse(first, last, grammar);
    b.tree.roots.push_back(b.pop());
    const auto offset = static_cast<std::size_t>(first - text.data());
    const std::size_t rest = skip_space(text, offset);
    if (rest == text.size()) break;
    b.report(rest, "`and`, `or`, `implies`, a comparison, or the end of the property");
    // Read on behind the junk: what follows may hold mistakes of its own.
    first = text.data() + token_at(text, rest).end;
    if (skip_space(text, token_at(text, rest).end) == text.size()) break;
  }
  return std::move(b.tree);
}

}  // namespace ovenproof::properties
