"""The lint's rule about order: a dict or set is walked only where no order can reach the result.

MicroPython's dicts and sets forget the order in which they were filled, so a walk that shows, joins or adds
in that order answers differently on the phone. The rule sees what the text shows: displays, `items()`,
`keys()`, `values()`, and names that an assignment in sight makes a dict or a set; not what a parameter holds.
"""

import ast
from collections.abc import Iterator

from tests.checks.trade_rules import OWNER, Hit, call_name, nodes, words

EXTREMES = words("min max")
ANY_ORDER_TAKERS = words("in_order keys_in_order median len any all bool set frozenset dict")
WALKERS = words("list tuple enumerate zip map filter iter next reversed join extend total mean str repr") | EXTREMES
VIEWS = words("items keys values")
SET_METHODS = words("union intersection difference symmetric_difference")
ADVICE = "walk plain.in_order(…): MicroPython's dicts and sets forget their order"


def walks_of_unordered(tree: ast.Module, file: str, shared: frozenset[str] = frozenset()) -> Iterator[Hit]:
    """Walks of a dict or set; `shared` are the dicts and sets that modules of the package define."""
    if file == OWNER:
        return
    everywhere = _shared_in_sight(tree, shared) | module_names(tree) | _names_of_self(tree)
    for scope in _scopes(tree):
        known = everywhere | frozenset(_names_assigned(scope))
        for walked in _walked_expressions(scope):
            if _is_unordered(walked, known):
                yield Hit(walked.lineno, "dict-order", ADVICE)


def module_names(tree: ast.Module) -> frozenset[str]:
    """Names that a module makes dicts or sets for all its functions."""
    outside = [node for node in tree.body if isinstance(node, ast.Assign)]
    return frozenset(name for node in outside for name in _names_assigned(node))


def _names_of_self(tree: ast.Module) -> frozenset[str]:
    """Fields that one method makes dicts and another may walk, as "self.rows"."""
    return frozenset(name for name in _names_assigned(tree) if name.startswith("self."))


def _names_assigned(scope: ast.AST) -> Iterator[str]:
    for node in nodes(scope, ast.Assign):
        if _is_unordered(node.value, frozenset()):
            yield from (ast.unparse(target) for target in node.targets)


def _scopes(tree: ast.Module) -> Iterator[ast.AST]:
    """Every function apart, since a name may be a dict in one and a list in the next; then what is outside."""
    outside: list[ast.stmt] = []
    waiting: list[ast.stmt] = list(tree.body)
    while waiting:
        node = waiting.pop()
        if isinstance(node, ast.FunctionDef):
            yield node
        elif isinstance(node, ast.ClassDef):
            waiting.extend(node.body)
        else:
            outside.append(node)
    yield ast.Module(outside, [])


def _shared_in_sight(tree: ast.Module, shared: frozenset[str]) -> frozenset[str]:
    """Of the package's dicts, those that this module imports by name or reaches as module.NAME."""
    imports = [node for node in nodes(tree, ast.ImportFrom) if node.level]
    names = [alias.name for node in imports for alias in node.names]
    reached = [f"{module}.{name}" for module in names for name in shared]
    return (shared & frozenset(names)) | frozenset(reached)


def _is_unordered(node: ast.AST, known: frozenset[str]) -> bool:
    """Whether an expression is a dict, a set or a view of one, as far as the text shows it."""
    match node:
        case ast.Dict() | ast.DictComp() | ast.Set() | ast.SetComp():
            return True
        case ast.Name() | ast.Attribute():
            return ast.unparse(node) in known
        case ast.BinOp():
            return _is_unordered(node.left, known) or _is_unordered(node.right, known)
        case ast.Call():
            return _call_is_unordered(node)
    return False


def _call_is_unordered(node: ast.Call) -> bool:
    if isinstance(node.func, ast.Name):
        return node.func.id in {"dict", "set", "frozenset"}
    name = call_name(node)
    return (name in VIEWS and not node.args) or name in SET_METHODS


def _walked_expressions(tree: ast.AST) -> Iterator[ast.expr]:
    harmless = set(_harmless_comprehensions(tree))
    for node in ast.walk(tree):
        match node:
            case ast.For():
                yield node.iter
            case ast.ListComp() | ast.GeneratorExp() if node not in harmless:
                yield from (part.iter for part in node.generators)
            case ast.Starred() | ast.YieldFrom():
                yield node.value
            case ast.Call() if call_name(node) in WALKERS and not _sees_no_order(node):
                yield from node.args


def _harmless_comprehensions(tree: ast.AST) -> Iterator[ast.AST]:
    """Comprehensions whose taker sees no order: plain.in_order(x for …), any(…), a min(…) without key."""
    for node in nodes(tree, ast.Call):
        if _sees_no_order(node):
            yield from node.args


def _sees_no_order(node: ast.Call) -> bool:
    keyed = any(word.arg == "key" for word in node.keywords)
    name = call_name(node)
    return name in ANY_ORDER_TAKERS or (name in EXTREMES and not keyed)
