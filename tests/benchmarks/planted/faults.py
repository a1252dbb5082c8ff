"""Faults that a hurried person could write into a module: each changes one spot of its text and still compiles.

Comparisons one off or turned round, + for -, ``and`` for ``or``, a number one off, a dropped ``not``, a condition that
always or never holds, a step left out, nothing returned of a list, two arguments of the same type swapped, ``min`` for
``max``. Texts for people (f-strings, what a refusal says), annotations and docstrings are left alone: they have tests
of their own kind. What the type checker sees (other types, a missing value) is not planted: it would prove nothing.

>>> [f"{fault.old} → {fault.new}" for fault in faults_in("x.py", "size = min(4, step) <= 3")]
['min(4, step) <= 3 → min(4, step) < 3', 'min → max', '4 → 5', '3 → 4']
"""

import ast
import copy
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

COMPARISONS: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.In: ast.NotIn, ast.NotIn: ast.In, ast.Is: ast.IsNot, ast.IsNot: ast.Is,
}  # fmt: skip
SUMS: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.FloorDiv, ast.FloorDiv: ast.Mult, ast.Div: ast.Mult,
    ast.Mod: ast.FloorDiv,
}  # fmt: skip
NAMES = {"min": "max", "max": "min", "ceil": "floor", "floor": "ceil", "any": "all", "all": "any"}
EMPTY = {
    "list": "[]",
    "tuple": "()",
    "Sequence": "()",
    "dict": "{}",
    "Mapping": "{}",
    "set": "set()",
    "str": "''",
    "int": "0",
}
LEFT_OUT = (ast.JoinedStr, ast.Raise, ast.Import, ast.ImportFrom)
PLAIN = (ast.Name, ast.Attribute)


@dataclass(frozen=True)
class Fault:
    """One change: where it stands (line, and start and end in the text), what stood there and what stands there now."""

    path: str
    line: int
    start: int
    end: int
    old: str
    new: str

    def planted(self, text: str) -> str:
        """The module's text with the fault in it."""
        return text[: self.start] + self.new + text[self.end :]


Types = Mapping[str, Mapping[str, str]]
"""The written type of each argument, in their order, by the name of a function or record."""


def types_in(text: str) -> dict[str, dict[str, str]]:
    """The types of arguments of all functions and records of a module.

    >>> types_in("def f(a: int, *, b: str = ''): ...")
    {'f': {'a': 'int', 'b': 'str'}}
    """
    found: dict[str, dict[str, str]] = {}
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.FunctionDef):
            every = [one for one in (*node.args.args, *node.args.kwonlyargs) if one.arg not in ("self", "cls")]
            found[node.name] = {one.arg: ast.unparse(one.annotation) if one.annotation else "" for one in every}
        elif isinstance(node, ast.ClassDef):
            fields = [one for one in node.body if isinstance(one, ast.AnnAssign) and isinstance(one.target, ast.Name)]
            found[node.name] = {ast.unparse(one.target): ast.unparse(one.annotation) for one in fields}
    return found


def faults_in(path: str, text: str, types: Types | None = None) -> list[Fault]:
    """Every fault that can be planted in a module, only those that still compile; ``types`` tells what may be swapped.

    ``types`` is that of all modules (:func:`types_in`): without it no arguments are swapped.
    """
    lines = text.splitlines(keepends=True)
    begins = [0]
    for line in lines:
        begins.append(begins[-1] + len(line))

    def offset(line: int, column: int) -> int:
        return begins[line - 1] + len(lines[line - 1].encode()[:column].decode())

    found = []
    for whole in ast.parse(text).body:
        first = min([whole.lineno, *(one.lineno for one in getattr(whole, "decorator_list", ()))])
        assert whole.end_lineno is not None
        begin, until = begins[first - 1], begins[whole.end_lineno]
        for node, new in _changes(whole, types or {}, ""):
            assert node.end_lineno is not None
            assert node.end_col_offset is not None
            start = offset(node.lineno, node.col_offset)
            end = offset(node.end_lineno, node.end_col_offset)
            for words in (new, f"({new})"):
                # Whether the statement still compiles tells whether the module does.
                if _compiles(text[begin:start] + words + text[end:until]):
                    found.append(Fault(path, node.lineno, start, end, text[start:end], words))
                    break
    return found


def _compiles(text: str) -> bool:
    try:
        ast.parse(text)
    except SyntaxError:
        return False
    return True


Change = tuple[ast.expr | ast.stmt, str]


def _changes(node: ast.AST, types: Types, returns: str) -> Iterator[Change]:
    """Each node that can be changed, with its new text; what is for people and types is not walked."""
    if isinstance(node, ast.FunctionDef):
        returns = ast.unparse(node.returns) if node.returns else ""
    if isinstance(node, ast.Return) and node.value is not None:
        nothing = _nothing(returns, node.value)
        if nothing and ast.unparse(node.value) != nothing:
            yield node.value, nothing
    elif isinstance(node, ast.Call):
        yield from _swapped(node, types)
    if isinstance(node, ast.expr | ast.stmt):
        yield from _of(node)
    for name, value in ast.iter_fields(node):
        if name in ("annotation", "returns", "decorator_list", "type_params"):
            continue
        for child in value if isinstance(value, list) else [value]:
            if isinstance(child, ast.AST) and not isinstance(child, LEFT_OUT):
                yield from _changes(child, types, returns)


def _of(node: ast.expr | ast.stmt) -> Iterator[Change]:
    if isinstance(node, ast.Compare) and len(node.ops) == 1:
        yield node, ast.unparse(ast.Compare(node.left, [COMPARISONS[type(node.ops[0])]()], node.comparators))
    elif isinstance(node, ast.BinOp) and type(node.op) in SUMS:
        if not _is_text(node.left) and not _is_text(node.right):
            yield node, ast.unparse(ast.BinOp(node.left, SUMS[type(node.op)](), node.right))
    elif isinstance(node, ast.BoolOp):
        yield node, ast.unparse(ast.BoolOp(ast.And() if isinstance(node.op, ast.Or) else ast.Or(), node.values))
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not | ast.USub):
        yield node, ast.unparse(node.operand)
    elif isinstance(node, ast.Constant) and isinstance(node.value, bool):
        yield node, str(not node.value)
    elif isinstance(node, ast.Constant) and isinstance(node.value, int):
        yield node, str(node.value + 1)
    elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Load) and node.id in NAMES:
        yield node, NAMES[node.id]
    elif isinstance(node, ast.If | ast.While):
        yield node.test, "False"
        if isinstance(node, ast.If):
            yield node.test, "True"
    elif isinstance(node, ast.IfExp):
        yield node, ast.unparse(ast.IfExp(node.test, node.orelse, node.body))
    elif _is_step(node):
        yield node, "pass"
    elif isinstance(node, ast.ListComp | ast.SetComp | ast.GeneratorExp | ast.DictComp) and node.generators[0].ifs:
        every = copy.deepcopy(node)
        every.generators[0].ifs = []
        yield node, ast.unparse(every)


def _swapped(node: ast.Call, types: Types) -> Iterator[Change]:
    """Neighbours that are both plain names and of one type, by place or by keyword."""
    name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
    takes = types.get(name, {})
    order = [*takes]
    for place, (one, two) in enumerate(zip(node.args, node.args[1:], strict=False)):
        if isinstance(one, PLAIN) and isinstance(two, PLAIN) and _alike(takes, order[place : place + 2]):
            swapped = copy.deepcopy(node)
            swapped.args[place], swapped.args[place + 1] = swapped.args[place + 1], swapped.args[place]
            yield node, ast.unparse(swapped)
    for place, (first, second) in enumerate(zip(node.keywords, node.keywords[1:], strict=False)):
        both = [first.arg or "", second.arg or ""]
        if isinstance(first.value, PLAIN) and isinstance(second.value, PLAIN) and _alike(takes, both):
            swapped = copy.deepcopy(node)
            swapped.keywords[place].value, swapped.keywords[place + 1].value = second.value, first.value
            yield node, ast.unparse(swapped)


def _alike(takes: Mapping[str, str], names: Sequence[str]) -> bool:
    return len(names) == 2 and all(name in takes for name in names) and takes[names[0]] == takes[names[1]] != ""


def _nothing(returns: str, value: ast.expr) -> str:
    """What a function of this type returns that found nothing; empty where there is no such value."""
    if returns.endswith("None"):
        return "None"
    if returns == "bool":
        return f"not ({ast.unparse(value)})"
    return EMPTY.get(returns.partition("[")[0], "") if "..." in returns or not returns.startswith("tuple") else ""


def _is_step(node: ast.AST) -> bool:
    """A statement that can be left out: a call for what it does, a sum that goes on, a ``continue``."""
    is_call = isinstance(node, ast.Expr) and isinstance(node.value, ast.Call)
    return is_call or isinstance(node, ast.AugAssign | ast.Continue)


def _is_text(node: ast.expr) -> bool:
    return isinstance(node, ast.JoinedStr) or (isinstance(node, ast.Constant) and isinstance(node.value, str))
