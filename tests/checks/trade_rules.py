"""The rules of the trade lint but for order, each a function from a syntax tree to hits.

Every rule says what to write instead. What MicroPython 1.27 lacks and what answers differently there was
measured on the build that the phone loads.
"""

import ast
import builtins
import re
from collections.abc import Callable, Iterator
from typing import NamedTuple, TypeVar

Node = TypeVar("Node", bound=ast.AST)


class Hit(NamedTuple):
    """A rule broken on a line."""

    line: int
    rule: str
    advice: str


Rule = Callable[[ast.Module, str], Iterator[Hit]]


def words(text: str) -> frozenset[str]:
    """The words of a text as a set."""
    return frozenset(text.split())


OWNER = "plain.py"
"""The file that owns order, sums, rounding, number text and JSON, and is therefore free of those rules."""

MODULES = {
    "math": words(
        "acos acosh asin asinh atan atan2 atanh ceil copysign cos cosh degrees e erf erfc exp expm1 fabs"
        " factorial floor fmod frexp gamma inf isclose isfinite isinf isnan ldexp lgamma log log10 log2"
        " modf nan pi pow radians sin sinh sqrt tan tanh tau trunc"
    ),
    "collections": words("namedtuple OrderedDict deque"),
}
"""The modules that the brain may import, with what MicroPython has of them."""

OWNED_CALLS = {
    "sorted": "plain.in_order: MicroPython's sort is not stable and takes n² on sorted input",
    "sum": "plain.total: Python 3.12 and MicroPython add floats differently",
    "round": "plain.round_away: the two break ties differently",
    "format": "plain.number_text: number formats break ties differently",
    "float": "plain.parse_number: float('.') is 0.0 on MicroPython",
}
IMPURE_CALLS = words("print open input eval exec compile __import__ globals locals vars")
ABSENT_METHODS = words(
    "zfill title removeprefix removesuffix rjust ljust capitalize casefold swapcase expandtabs translate"
    " maketrans isdecimal isnumeric isalnum isidentifier isprintable istitle isascii format_map"
)
ABSENT_ATTRIBUTES = words("_asdict _replace _make _fields")
SILENT_METHODS = {
    "sort": "plain.in_order: MicroPython's sort is not stable",
    "isdigit": "a list of digits: CPython takes other scripts' digits too",
    "isalpha": "a list of letters: CPython takes other scripts' letters too",
    "isspace": "a list of spaces: CPython takes other scripts' spaces too",
}
STRIPPERS = words("strip lstrip rstrip split rsplit")
NO_ASYNC = "the brain answers at once: no async"
ABSENT_STATEMENTS: dict[type[ast.AST], str] = {
    ast.Match: "match does not exist on MicroPython",
    ast.TryStar: "except* does not exist on MicroPython",
    ast.AsyncFunctionDef: NO_ASYNC,
    ast.AsyncFor: NO_ASYNC,
    ast.AsyncWith: NO_ASYNC,
    ast.Await: NO_ASYNC,
}


def nodes(tree: ast.AST, kind: type[Node]) -> Iterator[Node]:
    """Every node of one kind, anywhere below."""
    return (node for node in ast.walk(tree) if isinstance(node, kind))


def call_name(node: ast.Call) -> str:
    """The last name of what is called: `in_order` of `plain.in_order(x)`."""
    if isinstance(node.func, ast.Attribute):
        return node.func.attr
    return node.func.id if isinstance(node.func, ast.Name) else ""


# --- calls and names --------------------------------------------------------------------------------------


def owned_calls(tree: ast.Module, file: str) -> Iterator[Hit]:
    """Ordering, summing, rounding and number text belong to plain.py."""
    if file == OWNER:
        return
    called = {node.func: node for node in nodes(tree, ast.Call)}
    for node in nodes(tree, ast.Name):
        if node.id == "float" and (node not in called or _is_named_float(called[node])):
            continue  # an annotation, a type, or infinity by name
        if node.id in OWNED_CALLS and isinstance(node.ctx, ast.Load):
            yield Hit(node.lineno, node.id, f"use {OWNED_CALLS[node.id]}")


def _is_named_float(node: ast.Call) -> bool:
    """`float("inf")` and `float("nan")` read alike everywhere."""
    given = [argument.value for argument in node.args if isinstance(argument, ast.Constant)]
    return given in (["inf"], ["-inf"], ["nan"])


def impure_calls(tree: ast.Module, file: str) -> Iterator[Hit]:
    """The brain neither reads nor prints nor runs text."""
    del file
    for node in nodes(tree, ast.Call):
        if isinstance(node.func, ast.Name) and node.func.id in IMPURE_CALLS:
            yield Hit(node.lineno, "impure", f"{node.func.id}() does not belong in the brain")


def methods(tree: ast.Module, file: str) -> Iterator[Hit]:
    """Methods of text and lists that MicroPython lacks, and those that answer differently there."""
    for node in nodes(tree, ast.Call):
        if not isinstance(node.func, ast.Attribute):
            continue
        name = node.func.attr
        if name in ABSENT_METHODS:
            yield Hit(node.lineno, "absent", f".{name}() does not exist on MicroPython")
        elif name in SILENT_METHODS and file != OWNER:
            yield Hit(node.lineno, name, f"use {SILENT_METHODS[name]}")


def attributes(tree: ast.Module, file: str) -> Iterator[Hit]:
    """What MicroPython's math, collections, named tuples and native classes lack."""
    del file
    for node in nodes(tree, ast.Attribute):
        if _is_absent(node):
            yield Hit(node.lineno, "absent", f"{ast.unparse(node)} does not exist on MicroPython")


def _is_absent(node: ast.Attribute) -> bool:
    owner = node.value.id if isinstance(node.value, ast.Name) else ""
    if node.attr == "__init__" and hasattr(builtins, owner):
        return True  # native classes carry no __init__ there: super().__init__ finds the way
    return node.attr in ABSENT_ATTRIBUTES or (owner in MODULES and node.attr not in MODULES[owner])


def bare_strips(tree: ast.Module, file: str) -> Iterator[Hit]:
    """`strip()` takes other scripts' spaces off on CPython only; name the characters."""
    del file
    for node in nodes(tree, ast.Call):
        if isinstance(node.func, ast.Attribute) and node.func.attr in STRIPPERS and not node.args:
            yield Hit(node.lineno, "bare-strip", "name the characters: CPython takes wider spaces too")


def integer_checks(tree: ast.Module, file: str) -> Iterator[Hit]:
    """`isinstance(True, int)` is false on MicroPython."""
    if file == OWNER:
        return
    for node in nodes(tree, ast.Call):
        classes = nodes(node.args[1], ast.Name) if len(node.args) == 2 else iter(())
        if call_name(node) == "isinstance" and any(name.id == "int" for name in classes):
            yield Hit(node.lineno, "isinstance-int", "use type(x) is int: True is no int there")


# --- number text ------------------------------------------------------------------------------------------


def number_formats(tree: ast.Module, file: str) -> Iterator[Hit]:
    """Formats with digits in them round, and the two interpreters round ties apart."""
    if file == OWNER:
        return
    for node in ast.walk(tree):
        if _formats_a_number(node):
            line = getattr(node, "lineno", 1)
            yield Hit(line, "number-format", "use plain.number_text in an f-string without a format")


def _formats_a_number(node: ast.AST) -> bool:
    match node:
        case ast.FormattedValue(format_spec=ast.JoinedStr(values=parts)):
            return any(not isinstance(part, ast.Constant) or _has_digit(part) for part in parts)
        case ast.BinOp(left=ast.JoinedStr() | ast.Constant(value=str() | bytes()), op=ast.Mod()):
            return True
        case ast.Call(func=ast.Attribute(value=ast.Constant(value=str() as text), attr="format")):
            return re.search(r"\{[^}]*:[^}]*[\d{]", text) is not None
        case ast.Call(func=ast.Attribute(attr="format")):
            return True
    return False


def _has_digit(part: ast.Constant) -> bool:
    return any(letter.isdigit() for letter in str(part.value))


# --- imports and syntax -----------------------------------------------------------------------------------


def imports(tree: ast.Module, file: str) -> Iterator[Hit]:
    """The brain imports math, collections and itself (relatively); plain.py alone json too."""
    for node in ast.walk(tree):
        for name in _strange_imports(node, file):
            line = getattr(node, "lineno", 1)
            yield Hit(line, "import", f"{name}: not on the phone, or not the brain's to use")


def _strange_imports(node: ast.AST, file: str) -> list[str]:
    if isinstance(node, ast.Import):
        allowed = {*MODULES, *(["json"] if file == OWNER else [])}
        return [alias.name for alias in node.names if alias.name not in allowed]
    if isinstance(node, ast.ImportFrom) and not node.level:
        module = str(node.module)
        known = MODULES.get(module, frozenset())
        return [f"{module}.{alias.name}" for alias in node.names if alias.name not in known]
    return []


def absent_syntax(tree: ast.Module, file: str) -> Iterator[Hit]:
    """Syntax that MicroPython does not read."""
    del file
    for node in ast.walk(tree):
        advice = ABSENT_STATEMENTS.get(type(node)) or _absent_part(node) or _absent_display(node)
        if advice:
            yield Hit(_line_of(node), "syntax", advice)


def _line_of(node: ast.AST) -> int:
    lines = [part.lineno for part in ast.walk(node) if isinstance(part, ast.expr | ast.stmt | ast.arg)]
    return min(lines, default=1)


def _absent_part(node: ast.AST) -> str | None:
    match node:
        case ast.arguments(posonlyargs=[_, *_]):
            return "positional-only / does not exist on MicroPython"
        case ast.comprehension(is_async=1):
            return NO_ASYNC
        case ast.ClassDef(keywords=[_, *_]):
            return "class keywords (metaclass) do not exist on MicroPython"
        case ast.AnnAssign() if any(nodes(node.annotation, ast.Subscript)):
            return "a subscripted variable annotation does not exist on MicroPython"
    return None


def _absent_display(node: ast.AST) -> str | None:
    match node:
        case ast.Dict() if None in node.keys:
            return "copy and update: a ** display does not exist on MicroPython"
        case (
            ast.Set(elts=elements) | ast.List(elts=elements, ctx=ast.Load()) | ast.Tuple(elts=elements, ctx=ast.Load())
        ):
            if any(isinstance(element, ast.Starred) for element in elements):
                return "write a + [b]: a starred display does not exist on MicroPython"
    return None


def recursion(tree: ast.Module, file: str) -> Iterator[Hit]:
    """Recursion ends between 100 and 200 frames there: walk with a list instead."""
    del file
    for function in nodes(tree, ast.FunctionDef):
        for call in nodes(function, ast.Call):
            if _calls(call, function):
                yield Hit(call.lineno, "recursion", f"{function.name} calls itself: keep a list of what is left")


def _calls(call: ast.Call, function: ast.FunctionDef) -> bool:
    """Whether a call inside a function names that function (a method through self or cls)."""
    owner = function.args.args[0].arg if function.args.args else ""
    match call.func:
        case ast.Name(id=name):
            return name == function.name and owner not in {"self", "cls"}
        case ast.Attribute(value=ast.Name(id="self" | "cls"), attr=name):
            return name == function.name
    return False


RULES: tuple[Rule, ...] = (
    *(owned_calls, impure_calls, methods, attributes, bare_strips, integer_checks),
    *(number_formats, imports, absent_syntax, recursion),
)
