"""What an expression may become: other comparisons, edges, numbers, members, results."""

from __future__ import annotations

import ast
import copy
from collections.abc import Iterator
from typing import Any

_COMPARED: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.GtE),
    ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
}
_ARITHMETIC: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult,
    ast.Pow: ast.Mult,
    ast.LShift: ast.RShift,
    ast.RShift: ast.LShift,
    ast.BitOr: ast.BitAnd,
    ast.BitAnd: ast.BitOr,
    ast.BitXor: ast.BitOr,
}
_CALLED = {"any": "all", "all": "any", "min": "max", "max": "min"}


def expressions(node: ast.AST, parent: ast.AST) -> Iterator[ast.AST]:
    """What may stand in the place of an expression, or of a statement that returns or adds."""
    if isinstance(node, ast.Compare):
        yield from _compared(node)
    elif isinstance(node, ast.BoolOp):
        yield _with(node, op=ast.Or() if isinstance(node.op, ast.And) else ast.And())
    elif isinstance(node, ast.UnaryOp):
        yield copy.deepcopy(node.operand)
    elif isinstance(node, ast.BinOp | ast.AugAssign) and type(node.op) in _ARITHMETIC:
        yield _with(node, op=_ARITHMETIC[type(node.op)]())
    elif isinstance(node, ast.Constant):
        yield from _constant(node)
    elif isinstance(node, ast.Call):
        yield from _call(node)
    elif isinstance(node, ast.Dict | ast.Set | ast.List):
        yield from _members(node)
    elif isinstance(node, ast.Return) and _result(node.value):
        yield _with(node, value=ast.Constant(None))
    elif isinstance(node, ast.comprehension):
        for index in range(len(node.ifs)):
            yield _with(node, ifs=without(node.ifs, index))
    if _bare_test(node, parent):
        yield ast.UnaryOp(ast.Not(), copy.deepcopy(node))  # type: ignore[arg-type]


def without(items: list[Any], index: int) -> list[Any]:
    """The items but one."""
    return [*items[:index], *items[index + 1 :]]


def _compared(node: ast.Compare) -> Iterator[ast.AST]:
    for index, op in enumerate(node.ops):
        for other in _COMPARED[type(op)]:
            yield _with(node, ops=[*node.ops[:index], other(), *node.ops[index + 1 :]])


def _constant(node: ast.Constant) -> Iterator[ast.AST]:
    if isinstance(node.value, bool):
        yield ast.Constant(not node.value)
    elif isinstance(node.value, int | float):
        yield ast.Constant(node.value + 1)


def _call(node: ast.Call) -> Iterator[ast.AST]:
    if isinstance(node.func, ast.Name) and node.func.id in _CALLED:
        yield _with(node, func=ast.Name(_CALLED[node.func.id], ast.Load()))
    if isinstance(node.func, ast.Name) and node.func.id in ("frozenset", "set", "tuple") and node.args:
        members = node.args[0]
        if isinstance(members, ast.Tuple):
            for index in range(len(members.elts)):
                kept = ast.Tuple(without(members.elts, index), ast.Load())
                yield _with(node, args=[kept, *node.args[1:]])


def _members(node: ast.Dict | ast.Set | ast.List) -> Iterator[ast.AST]:
    if isinstance(node, ast.Dict):
        for index in range(len(node.keys)):
            yield _with(node, keys=without(node.keys, index), values=without(node.values, index))
    elif isinstance(node, ast.List) and not isinstance(node.ctx, ast.Load):
        return
    elif len(node.elts) > 1 or isinstance(node, ast.List):
        for index in range(len(node.elts)):
            yield _with(node, elts=without(node.elts, index))


def _result(value: ast.expr | None) -> bool:
    """A result that nothing else here changes already."""
    return value is not None and not isinstance(value, ast.Constant)


def _bare_test(node: ast.AST, parent: ast.AST) -> bool:
    """A condition with no operator of its own to change."""
    if isinstance(node, ast.Compare | ast.BoolOp | ast.UnaryOp | ast.Constant) or not isinstance(
        node, ast.expr
    ):
        return False
    if isinstance(parent, ast.If | ast.While | ast.IfExp):
        return node is parent.test
    return isinstance(parent, ast.BoolOp) or (isinstance(parent, ast.comprehension) and node in parent.ifs)


def _with(node: Any, **fields: Any) -> Any:
    """The node with other fields."""
    made = copy.deepcopy(node)
    for name, value in fields.items():
        setattr(made, name, copy.deepcopy(value))
    return made
