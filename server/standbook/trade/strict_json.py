"""A strict check of JSON text by its grammar (RFC 8259), since interpreters forgive different faults."""

from .plain import Refusal, read_json

SPACE = " \t\n\r"
DIGITS = "0123456789"
LITERALS = ("true", "false", "null")
DEEPEST = 64


def check(text):
    """Raises Refusal where the text is not exactly one JSON value, or names one key twice in one object."""
    at = _space(text, 0)
    open_brackets = []  # each: [kind, keys seen, what may come]
    at = _value(text, at, open_brackets)
    while open_brackets:
        at = _inside(text, _space(text, at), open_brackets)
    if _space(text, at) != len(text):
        raise _broken(text, at)


def _broken(text, at):
    return Refusal("json_broken", "This text is not whole JSON: send it again.", {"at": at, "text": text[at : at + 40]})


def _space(text, at):
    while at < len(text) and text[at] in SPACE:
        at += 1
    return at


def _value(text, at, open_brackets):
    first = text[at : at + 1]
    if first == "{" or first == "[":
        if len(open_brackets) >= DEEPEST:
            raise _broken(text, at)
        open_brackets.append([first, {}, True])
        return at + 1
    if first == '"':
        return _string(text, at)
    for word in LITERALS:
        if text[at : at + len(word)] == word:
            return at + len(word)
    return _number(text, at)


def _inside(text, at, open_brackets):
    kind, keys, at_start = open_brackets[-1]
    closing = "}" if kind == "{" else "]"
    if text[at : at + 1] == closing:
        open_brackets.pop()
        return at + 1
    if not at_start:
        at = _space(text, _expect(text, at, ","))
    open_brackets[-1][2] = False
    if kind == "{":
        at = _key(text, at, keys)
    return _value(text, at, open_brackets)


def _key(text, at, keys):
    end = _string(text, at)
    key = read_json(text[at:end])  # "\\u0061" and "a" are one key
    if key in keys:
        raise _broken(text, at)
    keys[key] = True
    return _space(text, _expect(text, _space(text, end), ":"))


def _expect(text, at, letter):
    if text[at : at + 1] != letter:
        raise _broken(text, at)
    return at + 1


def _string(text, at):
    at = _expect(text, at, '"')
    while at < len(text) and text[at] != '"':
        if ord(text[at]) < 32:
            raise _broken(text, at)
        at += _escape_length(text, at) if text[at] == "\\" else 1
    return _expect(text, at, '"')


def _escape_length(text, at):
    kind = text[at + 1 : at + 2]
    if kind == "u":
        code = text[at + 2 : at + 6].lower()
        if len(code) == 4 and not code.strip("0123456789abcdef"):
            return 6
    elif kind and kind in '"\\/bfnrt':
        return 2
    raise _broken(text, at)


def _digits(text, at):
    end = at
    while end < len(text) and text[end] in DIGITS:
        end += 1
    if end == at:
        raise _broken(text, at)
    return end


def _number(text, at):
    start = at + 1 if text[at : at + 1] == "-" else at
    end = _digits(text, start)
    if text[start] == "0" and end > start + 1:
        raise _broken(text, at)
    if text[end : end + 1] == ".":
        end = _digits(text, end + 1)
    if text[end : end + 1] in ("e", "E"):
        sign = 1 if text[end + 1 : end + 2] in ("+", "-") else 0
        end = _digits(text, end + 1 + sign)
    return end
