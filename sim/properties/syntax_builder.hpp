#pragma once

#include <algorithm>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "sim/properties/syntax.hpp"
#include "sim/properties/tokens.hpp"

namespace ovenproof::properties {

inline constexpr std::size_t most_errors = 50;
inline constexpr int most_in_chain = 200;

/// What the actions of the grammar build up. Operands wait on a stack, as do the words that will
/// make a node of them; every choice in the grammar is made by its first token, so nothing is
/// pushed that would have to be taken back.
struct Builder {
  std::string_view text;
  std::vector<Diagnostic>& errors;
  SyntaxTree tree = {};
  std::vector<SyntaxId> operands = {};
  std::vector<Span> words = {};
  std::vector<Span> labels = {};
  std::vector<SyntaxNode> intervals = {};  // only bound, from and to are used
  std::size_t last_error = static_cast<std::size_t>(-1);
  int depth = 0;

  void report(std::size_t offset, std::string expected) {
    offset = skip_space(text, offset);
    if (offset == last_error || errors.size() >= most_errors) return;  // one mistake, one message
    last_error = offset;
    errors.push_back({token_at(text, offset), position_of(text, offset), std::move(expected),
                      quoted_token(text, offset)});
  }

  void push(SyntaxNode node) {
    tree.nodes.push_back(std::move(node));
    operands.push_back(static_cast<SyntaxId>(tree.nodes.size()) - 1);
  }

  SyntaxId pop() {
    const SyntaxId id = operands.back();
    operands.pop_back();
    return id;
  }

  Span pop_word() {
    const Span word = words.back();
    words.pop_back();
    return word;
  }

  SyntaxNode& node(SyntaxId id) { return tree.nodes[static_cast<std::size_t>(id)]; }

  void enclose() { node(operands.back()).enclosed = true; }

  /// Joined by `and`, `or` or `implies`, without parentheses around it.
  [[nodiscard]] bool joined(SyntaxId id) const {
    const SyntaxNode& one = tree[id];
    return !one.enclosed && (one.kind == Syntax::conjunction || one.kind == Syntax::disjunction ||
                             one.kind == Syntax::implication);
  }

  /// A word that governs everything to its right stands where it reads as if it governed only what
  /// is next to it: what was meant must be said.
  void refuse_reach(const SyntaxNode& temporal) {
    if (temporal.operands.empty()) return;  // was reported as too deep
    const SyntaxId governed = temporal.operands.back();
    if (!joined(governed)) return;
    report(
        tree[governed].word.begin,
        "parentheses, since `" +
            std::string(text.substr(temporal.word.begin, temporal.word.end - temporal.word.begin)) +
            "` reaches to the end: around it, or around all that it governs");
  }

  /// Makes a node of the last `count` operands and the last word.
  void make(Syntax kind, std::size_t count, bool word_first = true) {
    SyntaxNode made;
    made.kind = kind;
    made.word = pop_word();
    made.operands.assign(operands.end() - static_cast<std::ptrdiff_t>(count), operands.end());
    operands.resize(operands.size() - count);
    made.span = made.word;
    for (const SyntaxId id : made.operands) {
      made.depth = std::max(made.depth, node(id).depth + 1);
      made.span.end = std::max(made.span.end, node(id).span.end);
    }
    if (!word_first) made.span.begin = node(made.operands.front()).span.begin;
    if (made.depth > most_in_chain) {
      report(made.word.begin, "at most 200 operators in one chain");
      made = {};
    }
    push(std::move(made));
  }

  /// As `make` for two operands, but `a and b and c` becomes one node: long lists stay shallow.
  void make_chain(Syntax kind) {
    const SyntaxId right = operands.back();
    const SyntaxId left = operands[operands.size() - 2];
    refuse_reach_at_the_end_of_a_chain(right);
    // In parentheses the left side is a node of its own kind too, and joining it changes nothing.
    if (node(left).kind != kind) {
      make(kind, 2, false);
      return;
    }
    pop_word();
    pop();
    node(left).operands.push_back(right);
    node(left).enclosed = false;
    node(left).span.end = node(right).span.end;
    node(left).depth = std::max(node(left).depth, node(right).depth + 1);
  }

  void refuse_reach_at_the_end_of_a_chain(SyntaxId last) {
    while (tree[last].kind == Syntax::negation && !tree[last].enclosed) {
      last = tree[last].operands.front();
    }
    const SyntaxNode& one = tree[last];
    const bool temporal = one.kind >= Syntax::always && one.kind <= Syntax::at_end;
    if (temporal && !one.enclosed) refuse_reach(one);
  }

  void make_member() {
    make(Syntax::member, 1, false);
    SyntaxNode& made = node(operands.back());
    made.labels = std::exchange(labels, {});
    if (!made.labels.empty()) made.span.end = made.labels.back().end;
  }

  void make_held_for() {
    const SyntaxId duration = pop();
    make(Syntax::held_for, 1, false);
    node(operands.back()).to = duration;
    node(operands.back()).span.end = node(duration).span.end;
  }

  /// Operands: the duration, the event, the response.
  void make_after() {
    const SyntaxId response = pop();
    const SyntaxId event = pop();
    const SyntaxId duration = pop();
    operands.push_back(event);
    operands.push_back(response);
    make(Syntax::after, 2);
    node(operands.back()).to = duration;
  }

  void take_interval() {
    node(operands.back()).bound = intervals.back().bound;
    node(operands.back()).from = intervals.back().from;
    node(operands.back()).to = intervals.back().to;
    intervals.pop_back();
  }

  void push_interval(Bound bound) {
    SyntaxNode interval;
    interval.bound = bound;
    if (bound != Bound::none) interval.to = pop();
    if (bound == Bound::range) interval.from = pop();
    intervals.push_back(std::move(interval));
  }
};

}  // namespace ovenproof::properties
