"""Rewrites one source of the firmware so that every place in it can be broken by number.

A recursive descent over tokens that understands the C++ of this project: namespaces, classes,
functions, statements, lambdas, expressions by precedence. What it leaves alone it counts under a
reason; each operator it saw is either a place or counted there, and the two are compared with a
count of bare tokens: nothing is passed over in silence.
"""
from collections import Counter
from dataclasses import dataclass, field

from tokens import PAIRS, Refused, is_operator, tokenize

CALL = "::ovenproof::defects::"
RELATIONS = {"<": "less", "<=": "less_equal", ">": "greater", ">=": "greater_equal",
             "==": "equal", "!=": "not_equal"}
MOVED_BY_BOUND = {"<": "<=", "<=": "<", ">": ">=", ">=": ">"}
NEGATED = {"<": ">=", "<=": ">", ">": "<=", ">=": "<", "==": "!=", "!=": "=="}
ASSIGNMENTS = ("=", "+=", "-=", "*=", "/=", "|=", "&=", "^=", "%=")
KEYWORDS_OF_DECLARATIONS = ("using", "typedef", "constexpr", "static", "constinit", "static_assert", "friend")
# Functions that change something besides what they return: what stands right of && or || and calls
# one of them is not evaluated where the sound firmware would not.
IMPURE = {"rises", "forget", "update", "restart", "add", "gate_reached", "reset_accepted", "start_accepted",
          "may_open", "purge_may_open", "process_may_open", "ripe"}


@dataclass
class Place:
    number: int
    kind: str
    file: str
    line: int
    column: int
    what: str


@dataclass
class Rules:
    """What is left alone in a file, with the reason."""
    functions: dict = field(default_factory=dict)  # name -> reason
    no_statements: str = ""  # reason why no statement is deleted
    no_forced_returns: bool = False


class Places:
    def __init__(self):
        self.all = []

    def add(self, kind, file, line, column, what):
        self.all.append(Place(len(self.all) + 1, kind, file, line, column, what))
        return self.all[-1].number


class Rewriter:
    def __init__(self, path, text, places, rules=None, members=None):
        self.path, self.places, self.rules = path, places, rules or Rules()
        self.tokens, self.tail = tokenize(text, path)
        self.members = members if members is not None else {}  # class -> [(member, initial)]
        self.left_alone = Counter()
        self.counted = 0  # operators that became places

    # --- tools ---

    def refuse(self, at, why):
        token = self.tokens[min(at, len(self.tokens) - 1)]
        raise Refused(f"{self.path}:{token.line}:{token.column}: {why} at '{token.text}'")

    def place(self, kind, at, what):
        token = self.tokens[at]
        return self.places.add(kind, self.path, token.line, token.column, what)

    def plain(self, start, end):
        return "".join(t.before + t.text for t in self.tokens[start:end])

    def one_line(self, start, end):
        return " ".join(self.plain(start, end).split())

    def alone(self, start, end, reason):
        """As written; its operators are counted under the reason."""
        for at in range(start, end):
            if is_operator(self.tokens[at]) and not (at and self.tokens[at - 1].text == "operator"):
                self.left_alone[reason] += 1
        return self.plain(start, end)

    def split(self, start, end, sign):
        """Parts between `sign` outside of all brackets."""
        parts, begin, at = [], start, start
        while at < end:
            token = self.tokens[at]
            if token.match > at:
                at = token.match
            elif token.kind == "sign" and token.text == sign:
                parts.append((begin, at))
                begin = at + 1
            at += 1
        parts.append((begin, end))
        return parts

    def find(self, start, end, test, last=False):
        """Index of the first (last) token outside of all brackets for which `test` holds; -1."""
        found, at = -1, start
        while at < end:
            token = self.tokens[at]
            if test(at, token):
                found = at
                if not last:
                    return found
            at = token.match + 1 if token.match > at else at + 1
        return found

    # --- expressions ---

    def led(self, start, text):
        """Text with the blanks that stood before its first token."""
        return self.tokens[start].before + text

    def expression(self, start, end):
        if start >= end:
            return ""
        binary = lambda *signs: lambda at, t: (t.kind == "sign" and t.text in signs and at > start and t.spaced
                                               and not t.template)
        assigned = self.find(start, end, binary(*ASSIGNMENTS))
        question = self.find(start, end, lambda at, t: t.text == "?" and t.kind == "sign")
        if assigned >= 0 and (question < 0 or assigned < question):
            return (self.expression(start, assigned) + self.plain(assigned, assigned + 1)
                    + self.expression(assigned + 1, end))
        if question >= 0:
            return self.ternary(start, question, end)
        for sign in ("||", "&&"):
            at = self.find(start, end, binary(sign), last=True)
            if at >= 0:
                return self.logical(start, at, end)
        for sign in ("|", "^", "&"):
            at = self.find(start, end, binary(sign), last=True)
            if at >= 0:
                return self.expression(start, at) + self.plain(at, at + 1) + self.expression(at + 1, end)
        for signs in (("==", "!="), ("<", "<=", ">", ">=")):
            at = self.find(start, end, binary(*signs), last=True)
            if at >= 0:
                return self.comparison(start, at, end)
        return self.operand(start, end)

    def ternary(self, start, question, end):
        depth, colon = 0, -1
        at = question
        while at < end and colon < 0:
            token = self.tokens[at]
            if token.text == "?":
                depth += 1
            elif token.text == ":":
                depth -= 1
                if depth == 0:
                    colon = at
            at = token.match + 1 if token.match > at else at + 1
        if colon < 0:
            self.refuse(question, "'?' without ':'")
        return (self.forced("condition", start, question) + self.plain(question, question + 1)
                + self.expression(question + 1, colon) + self.plain(colon, colon + 1)
                + self.expression(colon + 1, end))

    def forced(self, kind, start, end):
        what = self.one_line(start, end)
        if self.tokens[start].text in ("true", "false") and end == start + 1:
            number = self.place(f"{kind} forced", start, f"{what} turned round")
            return self.led(start, f"{CALL}flip({number}, {what})")
        true = self.place(f"{kind} forced", start, f"{what}: always true")
        false = self.place(f"{kind} forced", start, f"{what}: always false")
        inner = self.expression(start, end)
        return self.led(start, f"{CALL}decide({true}, {false}, static_cast<bool>({inner.lstrip()}))")

    def logical(self, start, at, end):
        self.counted += 1
        is_and = self.tokens[at].text == "&&"
        number = self.place("&& || flipped", at, f"{self.one_line(start, end)}: {'&&' if is_and else '||'} "
                            f"made {'||' if is_and else '&&'}")
        right = self.tokens[at + 1:end]
        pure = not any(t.text in IMPURE or t.text in ("++", "--") or (t.text in ASSIGNMENTS and t.spaced)
                       for t in right)
        lazily = lambda text: f"[&] {{ return static_cast<bool>({text.strip()}); }}"
        left_text, right_text = self.expression(start, at), self.expression(at + 1, end)
        return self.led(start, f"{CALL}{'both' if is_and else 'any'}<{'true' if pure else 'false'}>({number}, "
                        f"{lazily(left_text)}, {lazily(right_text)})")

    def comparison(self, start, at, end):
        self.counted += 1
        sign, whole = self.tokens[at].text, self.one_line(start, end)
        relation = lambda s: f"{CALL}Relation::{RELATIONS[s]}"
        numbers, relations = [], [relation(sign)]
        if sign in MOVED_BY_BOUND:
            bound = MOVED_BY_BOUND[sign]
            numbers.append(self.place("bound of a comparison moved", at, f"{whole}: {sign} made {bound}"))
            relations.append(relation(bound))
        numbers.append(self.place("comparison turned round", at, f"{whole}: {sign} made {NEGATED[sign]}"))
        relations.append(relation(NEGATED[sign]))
        left, right = self.expression(start, at), self.expression(at + 1, end)
        return self.led(start, f"{CALL}compare<{', '.join(relations)}>({', '.join(map(str, numbers))}, "
                        f"{left.strip()}, {right.strip()})")

    def operand(self, start, end):
        """Arithmetic, calls, brackets, lambdas, `!`: what binds tighter than a comparison."""
        out, at = [], start
        while at < end:
            token = self.tokens[at]
            if token.kind == "sign" and token.text == "!":
                stop = self.unary_end(at + 1, end)
                self.counted += 1
                number = self.place("! flipped", at, f"{self.one_line(at, stop)}: ! dropped")
                out.append(self.led(at, f"{CALL}flip({number}, !{self.operand(at + 1, stop).lstrip()})"))
                at = stop
            elif token.kind == "sign" and token.text == "[" and self.is_lambda(at, start):
                text, at = self.lambda_expression(at, end)
                out.append(text)
            elif token.kind == "sign" and token.text in PAIRS:
                out.append(self.plain(at, at + 1) + self.listed(at + 1, token.match)
                           + self.plain(token.match, token.match + 1))
                at = token.match + 1
            elif token.kind == "sign" and token.text == "<" and token.template:
                stop = token.match + 1
                out.append(self.alone(at, stop, "template argument"))
                at = stop
            elif is_operator(token):
                self.refuse(at, "an operator where none can be")
            else:
                out.append(self.plain(at, at + 1))
                at += 1
        return "".join(out)

    def listed(self, start, end):
        """What stands in brackets: expressions between commas, perhaps with designators."""
        parts = []
        for begin, stop in self.split(start, end, ","):
            if stop - begin > 3 and self.tokens[begin].text == "." and self.tokens[begin + 2].text == "=":
                parts.append(self.plain(begin, begin + 3) + self.expression(begin + 3, stop))
            elif stop - begin >= 2 and self.tokens[stop - 1].text == "...":
                parts.append(self.alone(begin, stop, "fold expression"))
            else:
                parts.append(self.expression(begin, stop))
            if stop < end:
                parts.append(self.plain(stop, stop + 1))
        return "".join(parts)

    def unary_end(self, at, end):
        """End of the operand of a prefix operator: a name or bracket, and what is fixed to it."""
        if at < end and self.tokens[at].kind == "sign" and self.tokens[at].text in ("!", "*", "-", "~", "&"):
            return self.unary_end(at + 1, end)
        if at < end and self.tokens[at].text == "::":
            at += 1
        if at >= end or not (self.tokens[at].kind in ("word", "number") or self.tokens[at].text == "("):
            self.refuse(at, "not an operand of '!'")
        at = self.tokens[at].match + 1 if self.tokens[at].text == "(" else at + 1
        while at < end:
            token = self.tokens[at]
            if token.text in ("(", "[", "{") and token.kind == "sign" or token.template:
                at = token.match + 1
            elif token.text in ("::", ".", "->"):
                at += 2
            else:
                break
        return at

    def is_lambda(self, at, start):
        if at == start:
            return True
        before = self.tokens[at - 1]
        return not (before.kind in ("word", "number") and before.text not in ("return", "case")
                    or before.text in (")", "]") or before.template)

    def lambda_expression(self, at, end):
        stop = self.tokens[at].match + 1
        if stop < end and self.tokens[stop].text == "(":
            stop = self.tokens[stop].match + 1
        returns_bool = False
        while stop < end and self.tokens[stop].text != "{":
            if self.tokens[stop].text not in ("mutable", "constexpr", "->", "noexcept", "::") \
                    and self.tokens[stop].kind != "word" and not self.tokens[stop].template:
                self.refuse(stop, "not part of a lambda's head")
            returns_bool = returns_bool or self.tokens[stop].text == "bool"
            stop = self.tokens[stop].match + 1 if self.tokens[stop].match > stop else stop + 1
        if stop >= end:
            self.refuse(at, "a lambda without a body")
        close = self.tokens[stop].match
        head = self.alone(at, stop, "lambda's head")
        body = self.statements(stop + 1, close, returns_bool)
        return head + self.plain(stop, stop + 1) + body + self.plain(close, close + 1), close + 1

    # --- statements ---

    def statements(self, start, end, returns_bool):
        out, at = [], start
        while at < end:
            text, at = self.statement(at, end, returns_bool)
            out.append(text)
        return "".join(out)

    def statement(self, at, end, returns_bool):
        token = self.tokens[at]
        if token.kind == "directive":
            return self.plain(at, at + 1), at + 1
        if token.text == "{":
            inner = self.statements(at + 1, token.match, returns_bool)
            return self.plain(at, at + 1) + inner + self.plain(token.match, token.match + 1), token.match + 1
        if token.text == ";":
            return self.plain(at, at + 1), at + 1
        if token.text == "if":
            return self.if_statement(at, end, returns_bool)
        if token.text in ("for", "while", "switch"):
            return self.block_statement(at, end, returns_bool)
        if token.text in ("case", "default"):
            colon = self.find(at, end, lambda _, t: t.text == ":")
            return self.alone(at, colon + 1, "case label"), colon + 1
        if token.text == "[" and self.tokens[at + 1].text == "[":  # attribute
            close = self.tokens[token.match + 1].match if self.tokens[token.match + 1].text == "(" else token.match
            text, stop = self.statement(close + 1, end, returns_bool) if self.tokens[close + 1].text != ";" \
                else (self.plain(close + 1, close + 2), close + 2)
            return self.plain(at, close + 1) + text, stop
        if token.text in ("do", "goto", "try", "throw", "co_return", "co_await"):
            self.refuse(at, "a statement that is not understood")
        stop = self.find(at, end, lambda _, t: t.text == ";" and t.kind == "sign")
        if stop < 0:
            self.refuse(at, "a statement without ';'")
        return self.simple_statement(at, stop, returns_bool), stop + 1

    def if_statement(self, at, end, returns_bool):
        opening = at + 1
        constant = self.tokens[opening].text == "constexpr"
        opening += constant
        close = self.tokens[opening].match
        if constant:
            condition = self.alone(opening + 1, close, "constant")
        elif self.is_declaration(opening + 1, close):
            condition = self.declaration(opening + 1, close)
        else:
            condition = self.forced("condition", opening + 1, close)
        head = self.plain(at, opening + 1) + condition + self.plain(close, close + 1)
        then, stop = self.statement(close + 1, end, returns_bool)
        text = head + self.braced(close + 1, then)
        if stop < end and self.tokens[stop].text == "else":
            other, after = self.statement(stop + 1, end, returns_bool)
            keep_chain = self.tokens[stop + 1].text == "if"
            text += self.plain(stop, stop + 1) + (other if keep_chain else self.braced(stop + 1, other))
            stop = after
        return text, stop

    def braced(self, start, text):
        """A place may have made an `if` of the statement: an `else` that follows is not its own."""
        return text if self.tokens[start].text == "{" else " {" + text + " }"

    def block_statement(self, at, end, returns_bool):
        close = self.tokens[at + 1].match
        is_switch = self.tokens[at].text == "switch"
        inside = self.expression(at + 2, close) if is_switch else self.alone(at + 2, close, "loop's head")
        body, stop = self.statement(close + 1, end, returns_bool)
        return self.plain(at, at + 2) + inside + self.plain(close, close + 1) + body, stop

    def simple_statement(self, at, stop, returns_bool):
        first, end_text = self.tokens[at], self.plain(stop, stop + 1)
        what = self.one_line(at, stop)
        if first.text == "return" and stop > at + 1:
            if returns_bool and not self.rules.no_forced_returns:
                return self.plain(at, at + 1) + self.forced("result", at + 1, stop) + end_text
            return self.plain(at, at + 1) + self.expression(at + 1, stop) + end_text
        if first.text in KEYWORDS_OF_DECLARATIONS:
            return self.alone(at, stop, "constant") + end_text
        if self.is_declaration(at, stop):
            return self.declaration(at, stop) + end_text
        if self.rules.no_statements:
            self.left_alone["statement: " + self.rules.no_statements] += 1
            return self.expression(at, stop) + end_text
        if first.text == "delete" or self.tokens[at].text == "::" and self.tokens[at + 1].text == "new":
            self.refuse(at, "a statement that is not understood")
        number = self.place("statement deleted", at, what)
        target = self.changed_target(at, stop)
        inner = self.expression(at, stop).lstrip()
        if target:
            return self.led(at, f"{{ const {CALL}Change change_{number}({number}, {target}); "
                            f"if (change_{number}.kept()) {inner}{end_text} }}")
        return self.led(at, f"if ({CALL}keep({number})) {inner}{end_text}")

    def changed_target(self, at, stop):
        """What a statement assigns to or increments, if that is plainly a variable; else nothing."""
        if self.tokens[at].text in ("++", "--"):
            start, end = at + 1, stop
        else:
            end = self.find(at, stop, lambda _, t: t.kind == "sign" and t.text in ASSIGNMENTS and t.spaced)
            start = at
            if end < 0 or self.find(end + 1, stop, lambda _, t: t.text in ASSIGNMENTS and t.spaced) >= 0:
                return None
        plain_variable = all(t.kind in ("word", "number") or t.text in (".", "->", "*", "[", "]", "::", "+")
                             for t in self.tokens[start:end])
        return self.one_line(start, end) if plain_variable else None

    def is_declaration(self, at, end):
        """`Type name`, `const Type& name = ...`, `auto [a, b] = ...`."""
        if self.tokens[at].text in ("const", "auto", *KEYWORDS_OF_DECLARATIONS):
            return True
        position = self.after_name(at, end)
        if position is None:
            return False
        while position < end and self.tokens[position].text in ("&", "*", "&&") and not self.tokens[position].spaced:
            position += 1
        return (position < end and self.tokens[position].kind == "word" and self.tokens[position].text != "const"
                and self.tokens[position - 1].text not in ("return", "new", "delete", "throw")
                and (position + 1 >= end or self.tokens[position + 1].text in ("=", "{", "(", ",", ":")))

    def after_name(self, at, end):
        """Past a qualified name with its template arguments; None if there is none."""
        while at < end and self.tokens[at].kind == "word":
            at += 1
            if at < end and self.tokens[at].template:
                at = self.tokens[at].match + 1
            if at < end and self.tokens[at].text == "::":
                at += 1
                continue
            return at
        return None

    def declaration(self, at, stop):
        equals = self.find(at, stop, lambda _, t: t.text == "=" and t.spaced)
        if equals >= 0:
            return self.alone(at, equals + 1, "declaration") + self.expression(equals + 1, stop)
        bracket = self.find(at, stop, lambda _, t: t.text in ("{", "(") and t.kind == "sign")
        if bracket >= 0 and self.tokens[bracket].match == stop - 1:
            return (self.alone(at, bracket + 1, "declaration") + self.listed(bracket + 1, stop - 1)
                    + self.plain(stop - 1, stop))
        return self.alone(at, stop, "declaration")
