"""Formulas of a trace worked out with Python's own parser: an oracle that knows no figure."""

from __future__ import annotations

import ast
import math
from collections.abc import Callable, Mapping
from typing import Any

NOISE = 1e-6


def _ceil(value: float) -> float:
    return float(math.ceil(value - NOISE))


def _round(value: float, digits: float) -> float:
    scale = 10 ** int(digits)
    return math.floor(value * scale + 0.5 + NOISE) / scale


CALLS: dict[str, Callable[..., float]] = {
    "ceil": _ceil,
    "max": max,
    "min": min,
    "round": _round,
    "ln": math.log,
}
OPERATIONS: dict[type, Callable[[float, float], float]] = {
    ast.Add: lambda a, b: a + b,
    ast.Sub: lambda a, b: a - b,
    ast.Mult: lambda a, b: a * b,
    ast.Div: lambda a, b: a / b,
}


def parsed(formula: str) -> ast.expr:
    """The tree of a formula; " x " between spaces multiplies."""
    assert "*" not in formula
    return ast.parse(formula.replace(" x ", " * "), mode="eval").body


def names(formula: str) -> set[str]:
    """Inputs that a formula names; what it calls left out."""
    tree = parsed(formula)
    called = {node.func.id for node in ast.walk(tree) if isinstance(node, ast.Call)}
    return {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)} - called


def worked_out(formula: str, inputs: Mapping[str, float]) -> float:
    """The value of a formula; anything that the syntax does not have is refused."""

    def value(node: Any) -> float:
        match node:
            case ast.Constant(value=int() | float() as number):
                return float(number)
            case ast.Name(id=name):
                return inputs[name]
            case ast.BinOp(left=left, op=op, right=right):
                return OPERATIONS[type(op)](value(left), value(right))
            case ast.Call(func=ast.Name(id=name), args=args, keywords=[]):
                return CALLS[name](*map(value, args))
        raise AssertionError(f"not in the syntax: {ast.dump(node)}")

    return value(parsed(formula))
