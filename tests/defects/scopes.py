"""Rewrites a whole file: namespaces, classes and functions, down to the bodies (see rewriter.py)."""
from dataclasses import dataclass

from rewriter import CALL, Rewriter
from tokens import Refused, is_operator

ONCE_A_SCAN = ("update", "rises")  # member functions that use and renew what their class remembers
NOT_OF_THE_TYPE = ("constexpr", "static", "inline", "friend", "virtual", "explicit", "constinit")


@dataclass
class Member:
    """A variable that an object keeps from scan to scan."""
    name: str
    initial: str  # what stands between the braces of its initialiser
    line: int
    column: int
    file: str


class SourceFile(Rewriter):
    def rewrite(self):
        text = self.scope(0, len(self.tokens), None) + self.tail
        bare = sum(is_operator(t) and not (i and self.tokens[i - 1].text == "operator")
                   for i, t in enumerate(self.tokens))
        alone = sum(n for reason, n in self.left_alone.items()
                    if not reason.startswith(("statement: ", "function ")))
        if bare != self.counted + alone:
            raise Refused(f"{self.path}: {bare} operators, but {self.counted} became places and {alone} were left alone")
        return '#include "defects/places.hpp"\n' + text

    def scope(self, at, end, class_name):
        out = []
        while at < end:
            token = self.tokens[at]
            if token.kind == "directive" or token.text == ";":
                out.append(self.plain(at, at + 1))
                at += 1
            elif token.text in ("public", "private", "protected") and self.tokens[at + 1].text == ":":
                out.append(self.plain(at, at + 2))
                at += 2
            else:
                text, at = self.item(at, end, class_name)
                out.append(text)
        return "".join(out)

    def item(self, at, end, class_name):
        """One declaration or definition."""
        stop = self.find(at, end, lambda _, t: t.kind == "sign" and t.text in (";", "{"))
        if stop < 0:
            self.refuse(at, "neither ';' nor a body")
        words = self.outer_words(at, stop)
        if self.tokens[stop].text == ";":
            self.note_member(at, stop, class_name)
            return self.alone(at, stop + 1, "declaration"), stop + 1
        if words and words[0] == "namespace":
            return self.nested(at, stop, None)
        if "enum" in words:
            return self.left_out(at, self.tokens[stop].match + 1, "enumeration")
        kind = next((w for w in ("class", "struct", "union") if w in words), None)
        if kind and not self.parameters(at, stop):
            return self.nested(at, stop, words[words.index(kind) + 1] if words.index(kind) + 1 < len(words) else None)
        equals = self.find(at, stop, lambda i, t: t.text == "=" and t.spaced and self.tokens[i - 1].text != "operator")
        opening = self.parameters(at, stop)
        if opening and equals < 0:
            return self.function(at, opening, end, class_name)
        return self.variable(at, stop, end, class_name)

    def outer_words(self, at, stop):
        words = []
        while at < stop:
            token = self.tokens[at]
            if token.kind == "word":
                words.append(token.text)
            at = token.match + 1 if token.match > at else at + 1
        return words

    def parameters(self, at, stop):
        """Index of the bracket that opens a function's parameters; 0 if there is none."""
        found = self.find(at, stop, lambda i, t: t.text == "(" and i > at and self.tokens[i - 1].text != "alignas"
                          and (self.tokens[i - 1].kind == "word" or self.tokens[i - 2].text == "operator"
                               or self.tokens[i - 3].text == "operator"))
        if found > 0 and self.tokens[found - 1].text in ("decltype", "requires"):
            self.refuse(found - 1, "a head that is not understood")
        if found > 0 and self.tokens[found - 1].text == "operator":  # operator()(...)
            found = self.tokens[found].match + 1
        return max(found, 0)

    def nested(self, at, opening, class_name):
        close = self.tokens[opening].match
        return (self.alone(at, opening, "declaration") + self.plain(opening, opening + 1)
                + self.scope(opening + 1, close, class_name) + self.plain(close, close + 1)), close + 1

    def left_out(self, start, end, reason):
        return self.alone(start, end, reason), end

    # --- variables ---

    def note_member(self, at, stop, class_name):
        first = self.tokens[at].text
        if class_name is None or self.parameters(at, stop) or first in (
                "static", "using", "friend", "typedef", "const", "class", "struct", "template", "alignas", "constexpr"):
            return
        name_end = self.find(at, stop, lambda _, t: t.text in ("=", "{"))
        name_end = stop if name_end < 0 else name_end
        name = self.tokens[name_end - 1]
        if name_end - at < 2 or name.kind != "word" or self.tokens[name_end - 2].text in ("&", "*"):
            return
        initial = self.one_line(name_end + 1, stop) if name_end < stop and self.tokens[name_end].text == "=" \
            else self.one_line(name_end + 1, stop - 1) if name_end < stop else ""
        known = self.members.setdefault(class_name, {})
        known.setdefault(name.text, Member(name.text, initial, name.line, name.column, self.path))

    def variable(self, at, stop, end, class_name):
        """Its initialiser belongs to the compiler; lambdas in it run later."""
        last = self.find(at, end, lambda _, t: t.text == ";")
        if last < 0:
            self.refuse(at, "a variable without ';'")
        if class_name is not None:
            self.note_member(at, last, class_name)
        return self.only_lambdas(at, last + 1), last + 1

    def only_lambdas(self, start, end):
        out, at = [], start
        while at < end:
            token = self.tokens[at]
            if token.text == "[" and at > start and self.is_lambda(at, start) and self.tokens[at - 1].text != "[" \
                    and self.tokens[at + 1].text != "[":
                text, at = self.lambda_expression(at, end)
                out.append(text)
            else:
                out.append(self.alone(at, at + 1, "constant"))
                at += 1
        return "".join(out)

    # --- functions ---

    def function(self, at, opening, end, class_name):
        words = self.outer_words(at, opening)
        name = words[-1] if words else ""
        body = self.body_of(self.tokens[opening].match + 1, end)
        close = self.tokens[body].match
        reason = "evaluated by the compiler" if "consteval" in words else self.rules.functions.get(name)
        if reason:
            self.left_alone[f"function {name}: {reason}"] += 1
            return self.left_out(at, close + 1, reason)
        owner = class_name
        if self.tokens[opening - 2].text == "::":
            owner = self.tokens[opening - 3].text
        head = self.alone(at, self.tokens[opening].match + 1, "function's head") + self.initialisers(
            self.tokens[opening].match + 1, body)
        lost = self.lost_memory(owner, name) if name in ONCE_A_SCAN else ""
        return (head + self.plain(body, body + 1) + lost
                + self.statements(body + 1, close, self.returns_bool(at, opening)) + self.plain(close, close + 1)), close + 1

    def returns_bool(self, at, opening):
        start = at
        if self.tokens[start].text == "template":
            start = self.tokens[start + 1].match + 1
        while self.tokens[start].text == "[":
            start = self.tokens[start].match + 1
        rest = [t.text for t in self.tokens[start:opening] if t.text not in NOT_OF_THE_TYPE]
        return bool(rest) and rest[0] == "bool" and len(rest) > 1 and rest[1] not in ("&", "*")

    def body_of(self, at, end):
        """Index of the bracket that opens the body, past qualifiers and a constructor's initialisers."""
        while at < end and self.tokens[at].text not in ("{", ":"):
            at = self.tokens[at].match + 1 if self.tokens[at].match > at else at + 1
        while at < end and self.tokens[at].text in (":", ","):
            at += 1
            while self.tokens[at].text not in ("(", "{"):
                at += 1
            at = self.tokens[at].match + 1
        if at >= end or self.tokens[at].text != "{":
            self.refuse(at, "a function without a body")
        return at

    def initialisers(self, at, body):
        colon = self.find(at, body, lambda _, t: t.text == ":")
        if colon < 0:
            return self.alone(at, body, "function's head")
        return self.alone(at, colon + 1, "function's head") + self.operand(colon + 1, body)

    def lost_memory(self, owner, function, prefix=""):
        out = []
        for member in self.members.get(owner, {}).values():
            number = self.places.add("memory lost", member.file, member.line, member.column, f"{owner}::{member.name}")
            variable = prefix + member.name
            out.append(f" {CALL}lose({number}, {variable}, decltype({variable}){{{member.initial}}});")
        return "".join(out)
