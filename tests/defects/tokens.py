"""Tokens of C++ as this project writes it: no macros, formatted by clang-format.

What tells a comparison from a template's bracket is the blank on both sides that clang-format puts
round a binary operator. What does not fit is refused, with its place.
"""
import re
from dataclasses import dataclass

PATTERN = re.compile(r"""
    (?P<blank>\s+)
  | (?P<comment>//[^\n]*|/\*.*?\*/)
  | (?P<directive>^[ \t]*\#(?:[^\n]|\\\n)*)
  | (?P<text>"(?:[^"\\\n]|\\.)*"|'(?:[^'\\\n]|\\.)*')
  | (?P<number>\.?\d(?:[eEpP][+-]|[\w.']|)*)
  | (?P<word>[A-Za-z_]\w*)
  | (?P<sign><=>|->\*|\.\.\.|<<=|>>=|::|->|\+\+|--|<<|>>|<=|>=|==|!=|&&|\|\||[-+*/%&|^]=|[][(){}<>=!~?:;,.+\-*/%&|^])
""", re.VERBOSE | re.DOTALL | re.MULTILINE)

PAIRS = {"(": ")", "[": "]", "{": "}"}
COMPARISONS = ("==", "!=", "<", "<=", ">", ">=")
OPERATORS = ("&&", "||", "!", *COMPARISONS)


class Refused(Exception):
    """Source that the generator does not understand."""


@dataclass
class Token:
    kind: str  # directive, text, number, word, sign
    text: str
    before: str  # blanks and newlines before it; comments are dropped
    line: int
    column: int
    spaced: bool = False  # a sign with blanks on both sides
    match: int = -1  # of a bracket: the index of the other one
    template: bool = False  # `<` or `>` of a template


def tokenize(text, path):
    tokens, at, before, after_blank = [], 0, "", True
    line, line_start = 1, 0
    while at < len(text):
        found = PATTERN.match(text, at)
        if not found:
            raise Refused(f"{path}:{line}:{at - line_start + 1}: cannot read {text[at:at + 20]!r}")
        kind, piece = found.lastgroup, found[0]
        if kind in ("blank", "comment"):
            before += piece if kind == "blank" else "\n" * piece.count("\n")
        else:
            tokens.append(Token(kind, piece, before, line, at - line_start + 1))
            blank_after = text[found.end():found.end() + 1].isspace()
            tokens[-1].spaced = kind == "sign" and before != "" and blank_after
            before = ""
        newlines = piece.count("\n")
        if newlines:
            line += newlines
            line_start = at + piece.rindex("\n") + 1
        at = found.end()
    match_brackets(tokens, path)
    match_templates(tokens, path)
    return tokens, before


def match_brackets(tokens, path):
    open_ones = []
    for index, token in enumerate(tokens):
        if token.kind != "sign":
            continue
        if token.text in PAIRS:
            open_ones.append(index)
        elif token.text in PAIRS.values():
            if not open_ones or PAIRS[tokens[open_ones[-1]].text] != token.text:
                raise Refused(f"{path}:{token.line}:{token.column}: bracket {token.text} closes nothing")
            other = open_ones.pop()
            token.match, tokens[other].match = other, index
    if open_ones:
        token = tokens[open_ones[-1]]
        raise Refused(f"{path}:{token.line}:{token.column}: bracket {token.text} is never closed")


def match_templates(tokens, path):
    for index, token in enumerate(tokens):
        if token.text != "<" or token.kind != "sign" or token.spaced or token.template or index == 0:
            continue
        if tokens[index - 1].text == "operator":
            continue
        depth, at = 0, index
        while at < len(tokens):
            piece = tokens[at]
            if piece.text in PAIRS and piece.kind == "sign":
                at = piece.match
            elif piece.text == "<" and piece.kind == "sign":
                depth += 1
                piece.template = True
            elif piece.text in (">", ">>") and piece.kind == "sign":
                piece.template = True
                depth -= len(piece.text)
            elif piece.text in (";", ")", "}"):
                depth = -1
            if depth <= 0:
                break
            at += 1
        if depth != 0 or at >= len(tokens):
            raise Refused(f"{path}:{token.line}:{token.column}: '<' is neither a comparison with blanks "
                          "round it nor a template's bracket")
        token.match = at


def is_operator(token):
    """An operator that a defect could change, as far as the token alone tells."""
    if token.kind != "sign" or token.text not in OPERATORS or token.template:
        return False
    if token.text in ("&&", "<", ">"):
        return token.spaced  # else a reference, or a template's bracket
    return True
