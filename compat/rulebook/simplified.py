"""Trees with their constants worked out, so that they are quicker to run; units are checked before."""

from __future__ import annotations

import operator
from typing import TypeVar, cast

from compat.rulebook import nodes
from compat.rulebook.nodes import Node, QuantityNode

N = TypeVar("N", bound=Node)
FUNCTIONS = {"+": operator.add, "-": operator.sub, "*": operator.mul, "/": operator.truediv}


def simplified(node: N) -> N:
    """The tree without parts that only change its unit, such as a factor of one.

    Equal parts that are one object stay one object. A division by nought is left as it is.
    """
    return cast(N, _simplified(node, {}))


def _simplified(node: Node, made: dict[int, Node]) -> Node:
    if id(node) not in made:
        made[id(node)] = _made(node, made)
    return made[id(node)]


def _made(node: Node, made: dict[int, Node]) -> Node:
    match node:
        case nodes.Arithmetic():
            left = cast(QuantityNode, _simplified(node.left, made))
            right = cast(QuantityNode, _simplified(node.right, made))
            return _arithmetic(node, left, right)
        case nodes.Extreme():
            left = cast(QuantityNode, _simplified(node.left, made))
            right = cast(QuantityNode, _simplified(node.right, made))
            return nodes.Extreme(node.which, left, right, node.measure)
        case nodes.AtMost():
            return nodes.AtMost(
                cast(QuantityNode, _simplified(node.left, made)),
                cast(QuantityNode, _simplified(node.right, made)),
            )
        case nodes.Both() | nodes.Either():
            return type(node)(
                cast(nodes.TruthNode, _simplified(node.left, made)),
                cast(nodes.TruthNode, _simplified(node.right, made)),
            )
        case nodes.Not():
            return nodes.Not(cast(nodes.TruthNode, _simplified(node.part, made)))
        case _:
            return node


def _arithmetic(node: nodes.Arithmetic, left: QuantityNode, right: QuantityNode) -> QuantityNode:
    one_left = isinstance(left, nodes.Number) and left.value == 1.0
    one_right = isinstance(right, nodes.Number) and right.value == 1.0
    if node.operator in "*/" and one_right:
        return left
    if node.operator == "*" and one_left:
        return right
    by_nought = node.operator == "/" and isinstance(right, nodes.Number) and right.value == 0.0
    if isinstance(left, nodes.Number) and isinstance(right, nodes.Number) and not by_nought:
        return nodes.Number(FUNCTIONS[node.operator](left.value, right.value), node.measure)
    return nodes.Arithmetic(node.operator, left, right, node.measure)
