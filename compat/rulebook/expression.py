"""From the text of an expression to its typed tree: a closed grammar with unit checks.

The characters are held against a short list first. The text is then read by Python's own parser in
expression mode and every node is matched against a short list; what is not on a list is refused.
Nothing of the text is ever run or put into SQL.
"""

from __future__ import annotations

import ast
import math
import re
import warnings
from collections.abc import Collection
from dataclasses import dataclass

from compat.model.faults import did_you_mean
from compat.model.vocabulary import TraitDefinition, Vocabulary
from compat.rulebook import nodes
from compat.rulebook.nodes import QuantityNode, TokensNode, TruthNode
from compat.rulebook.units import NUMBER, Measure, measure_of

LONGEST_TEXT = 1000
MOST_NODES = 80
DEEPEST = 20
LARGEST_NUMBER = 1e12
# Python takes some letters of other scripts for the plain ones, and skips comments: neither is wanted.
STRANGE_CHARACTER = re.compile(r"[^A-Za-z0-9_.,()<>=!+*/%&|^~@ -]")


class ExpressionError(ValueError):
    """The text is not an expression of the rule language; the message says where and why."""


@dataclass(frozen=True, slots=True)
class Reader:
    """Reads expressions that may use the traits of ``subjects``."""

    vocabulary: Vocabulary
    subjects: Collection[str]

    def quantity(self, text: str) -> QuantityNode:
        """A number or interval; raises ExpressionError."""
        return self._quantity(_parsed(text))

    def truth(self, text: str) -> TruthNode:
        """A condition; raises ExpressionError."""
        return self._truth(_parsed(text))

    def _truth(self, node: ast.expr) -> TruthNode:
        match node:
            case ast.Name(id="always" | "true"):
                return nodes.Always(True)
            case ast.Name(id="false"):
                return nodes.Always(False)
            case ast.BoolOp(op=operator, values=[first, *rest]):
                tree = self._truth(first)
                joined = nodes.Both if isinstance(operator, ast.And) else nodes.Either
                for value in rest:
                    tree = joined(tree, self._truth(value))
                return tree
            case ast.UnaryOp(op=ast.Not(), operand=operand):
                return nodes.Not(self._truth(operand))
            case ast.Compare(left=left, ops=[operator], comparators=[right]):
                return self._comparison(left, operator, right)
            case ast.Attribute():
                trait = self._trait(node)
                if trait.kind == "yes_no":
                    return nodes.YesNoName(trait.full_name)
                raise _error(node, f"{trait.full_name} is not a yes or no, so it is no condition by itself")
            case ast.Compare():
                raise _error(node, "one comparison at a time: join two with 'and'")
        raise _error(node, "a condition is expected here")

    def _comparison(self, left: ast.expr, operator: ast.cmpop, right: ast.expr) -> TruthNode:
        match operator:
            case ast.In():
                return self._within(left, right)
            case ast.NotIn():
                return nodes.Not(self._within(left, right))
            case ast.Eq() | ast.NotEq():
                equal = self._equal(left, right)
                return equal if isinstance(operator, ast.Eq) else nodes.Not(equal)
            case ast.LtE():
                return self._at_most(left, right)
            case ast.GtE():
                return self._at_most(right, left)
            case ast.Gt():
                return nodes.Not(self._at_most(left, right))
            case ast.Lt():
                return nodes.Not(self._at_most(right, left))
        raise _error(left, "allowed comparisons: <= >= < > == != in, not in")

    def _at_most(self, left: ast.expr, right: ast.expr) -> nodes.AtMost:
        return at_most(self._quantity(left), self._quantity(right))

    def _equal(self, left: ast.expr, right: ast.expr) -> TruthNode:
        if isinstance(left, ast.Attribute) and self._trait(left).kind == "choice":
            return self._within(left, right)
        low, high = self._quantity(left), self._quantity(right)
        return nodes.Both(at_most(low, high), at_most(high, low))

    def _within(self, left: ast.expr, right: ast.expr) -> nodes.Within:
        named = [part for part in (left, right) if isinstance(part, ast.Attribute)]
        if not named:
            raise _error(left, "one side must be a trait of kind choice or set")
        trait = self._trait(named[0])
        if trait.kind not in ("choice", "set"):
            raise _error(named[0], f"{trait.full_name} is neither a choice nor a set")
        inner, outer = self._tokens(left, trait.choices), self._tokens(right, trait.choices)
        return nodes.Within(inner, outer)

    def _tokens(self, node: ast.expr, choices: str) -> TokensNode:
        match node:
            case ast.Attribute():
                trait = self._trait(node)
                if trait.choices != choices:
                    raise _error(
                        node, f"{trait.full_name} is of the list '{trait.choices or 'none'}', not '{choices}'"
                    )
                return nodes.TokensName(
                    trait.full_name, choices, (1 << len(self.vocabulary.choices[choices])) - 1
                )
            case ast.Name() | ast.Tuple():
                words = node.elts if isinstance(node, ast.Tuple) else [node]
                if not words:
                    raise _error(node, f"words of the list '{choices}' are expected between the parentheses")
                mask, known = 0, list(self.vocabulary.choices[choices])
                for word in words:
                    if not isinstance(word, ast.Name) or word.id not in known:
                        raise _error(word, f"a word of the list '{choices}' is expected: {', '.join(known)}")
                    mask |= 1 << known.index(word.id)
                return nodes.Tokens(
                    mask, choices, ", ".join(word.id for word in words if isinstance(word, ast.Name))
                )
        raise _error(node, "a trait, a word or words in parentheses are expected here")

    def _quantity(self, node: ast.expr) -> QuantityNode:
        match node:
            case ast.Constant(value=int() | float() as value) if not isinstance(value, bool):
                return nodes.Number(_checked(node, value), NUMBER)
            case ast.Attribute():
                trait = self._trait(node)
                if trait.kind != "quantity":
                    raise _error(node, f"{trait.full_name} is a {trait.kind}, not a quantity")
                return nodes.QuantityName(trait.full_name, measure_of(self.vocabulary.units[trait.unit]))
            case ast.BinOp(left=left, op=operator, right=right):
                return self._arithmetic(node, self._quantity(left), operator, self._quantity(right))
            case ast.Call(func=ast.Name(id="min" | "max" as which), args=[left, right], keywords=[]):
                first = self._quantity(left)
                second = converted(self._quantity(right), first.measure, node)
                return nodes.Extreme("min" if which == "min" else "max", first, second, first.measure)
            case ast.Call(
                func=ast.Name(id=unit), args=[ast.Constant(value=int() | float() as value)], keywords=[]
            ) if not isinstance(value, bool):
                if unit not in self.vocabulary.units:
                    raise _error(node, f"'{unit}' is no unit or function of the language")
                return nodes.Number(_checked(node, value), measure_of(self.vocabulary.units[unit]))
        raise _error(
            node, "a quantity is expected here: a trait, a number, or a number with its unit such as ma(250)"
        )

    def _arithmetic(
        self, node: ast.expr, left: QuantityNode, operator: ast.operator, right: QuantityNode
    ) -> nodes.Arithmetic:
        match operator:
            case ast.Mult():
                return nodes.Arithmetic("*", left, right, left.measure.times(right.measure))
            case ast.Div():
                return nodes.Arithmetic("/", left, right, left.measure.over(right.measure))
            case ast.Add() | ast.Sub():
                sign = "+" if isinstance(operator, ast.Add) else "-"
                return nodes.Arithmetic(
                    "+" if sign == "+" else "-", left, converted(right, left.measure, node), left.measure
                )
        raise _error(node, "allowed arithmetic: + - * /")

    def _trait(self, node: ast.Attribute) -> TraitDefinition:
        if not isinstance(node.value, ast.Name):
            raise _error(node, "a name has the form subject.trait")
        name = f"{node.value.id}.{node.attr}"
        trait = self.vocabulary.traits.get(name)
        if trait is None:
            usable = [t.full_name for t in self.vocabulary.traits.values() if t.subject in self.subjects]
            raise _error(node, f"'{name}' is not in the vocabulary. {did_you_mean(name, usable)}".strip())
        if trait.subject not in self.subjects:
            raise _error(
                node, f"{name} cannot be used here; allowed subjects: {', '.join(sorted(self.subjects))}"
            )
        return trait


def at_most(left: QuantityNode, right: QuantityNode) -> nodes.AtMost:
    """``left <= right`` in the measure of the left; raises ExpressionError on unlike dimensions."""
    return nodes.AtMost(left, converted(right, left.measure, None))


def converted(node: QuantityNode, measure: Measure, place: ast.expr | None) -> QuantityNode:
    """The node in another measure of the same dimension, by a plain factor when it differs."""
    if not node.measure.same_dimension(measure):
        raise _error(place, f"{node.measure.text()} cannot be compared with or added to {measure.text()}")
    factor = node.measure.factor / measure.factor
    if factor == 1.0:
        return node
    if isinstance(node, nodes.Number):
        return nodes.Number(node.value * factor, measure)
    return nodes.Arithmetic("*", node, nodes.Number(factor, NUMBER), measure)


def _parsed(text: str) -> ast.expr:
    if len(text) > LONGEST_TEXT:
        raise ExpressionError(f"the expression has {len(text)} characters; allowed are {LONGEST_TEXT}")
    text = re.sub(r"[ \t\r\n]+", " ", text).strip(" ")
    strange = STRANGE_CHARACTER.search(text)
    if strange is not None:
        place = strange.start() + 1
        raise ExpressionError(f"the character {strange[0]!a} (at character {place}) is not of the language")
    try:
        with warnings.catch_warnings():
            # What Python merely warns of, such as a number run into a word, is refused.
            warnings.simplefilter("error")
            tree = ast.parse(text, mode="eval").body
    except (SyntaxError, ValueError, MemoryError, RecursionError) as error:
        what = error.msg if isinstance(error, SyntaxError) else str(error)
        raise ExpressionError(f"'{text[:80]}' is not an expression: {what}") from None
    if sum(1 for _ in ast.walk(tree)) > 4 * MOST_NODES or _depth(tree) > DEEPEST:
        raise ExpressionError(f"the expression is too large: at most {MOST_NODES} parts, {DEEPEST} deep")
    return tree


def _depth(tree: ast.AST) -> int:
    deepest, level = 0, [tree]
    while level and deepest <= DEEPEST:
        deepest, level = deepest + 1, [child for node in level for child in ast.iter_child_nodes(node)]
    return deepest


def _checked(node: ast.expr, value: float) -> float:
    if abs(value) > LARGEST_NUMBER or not math.isfinite(value):
        raise _error(node, f"a number is outside ±{LARGEST_NUMBER:g}")
    return float(value)


def _error(node: ast.expr | None, message: str) -> ExpressionError:
    where = f" (at character {node.col_offset + 1})" if node is not None else ""
    return ExpressionError(message + where)
