"""A tree to its value. It knows the values it is given by name, and nothing else."""

from __future__ import annotations

from collections.abc import Mapping

from compiler.spec.errors import did_you_mean, listed
from compiler.spec.families.amount import OPERATIONS, Amount, negate, order
from compiler.spec.families.functions import CONSTANTS, FUNCTIONS, call
from compiler.spec.families.refusal import RefusalError
from compiler.spec.families.syntax import (
    COMPARISONS,
    Call,
    Chain,
    Choice,
    Constant,
    Name,
    Signed,
    Tree,
)

Value = Amount | str | bool


def evaluate(tree: Tree, known: Mapping[str, Value]) -> Value:
    """The value of a tree. Raises RefusalError (E801 to E805), placed at the part at fault."""
    try:
        return _value(tree, known)
    except RefusalError as error:
        raise error.at(tree.start, tree.end) from None
    except (OverflowError, ValueError, ZeroDivisionError) as error:
        raise RefusalError(
            "E805", "this can't be worked out", "check the sizes that go in", tree.start, tree.end
        ) from error


def say(value: Value) -> str:
    """What kind of value it is, for messages."""
    match value:
        case bool():
            return "true or false"
        case str():
            return f"the text `{value}`"
        case Amount(dimension=dimension):
            return dimension.words


def _value(tree: Tree, known: Mapping[str, Value]) -> Value:
    match tree:
        case Constant(value):
            return value
        case Name(name):
            return _named(name, known)
        case Signed("not", of):
            return not _truth(of, known)
        case Signed(sign, of):
            value = _amount(of, known)
            return negate(value) if sign == "-" else value
        case Chain(_, rest) if rest[0][0] in ("and", "or"):
            return _joined(tree, known)
        case Chain(_, rest) if rest[0][0] in COMPARISONS:
            return _compared(tree, known)
        case Chain(first, rest):
            total = _amount(first, known)
            for sign, item in rest:
                total = OPERATIONS[sign](total, _amount(item, known))
            return total
        case Choice(then, condition, otherwise):
            return evaluate(then if _truth(condition, known) else otherwise, known)
        case Call():
            return _called(tree, known)


def _named(name: str, known: Mapping[str, Value]) -> Value:
    if name in known:
        return known[name]
    if name in CONSTANTS:
        return CONSTANTS[name]
    if name in FUNCTIONS:
        raise RefusalError("E801", f"`{name}` is a function", f"give it a value, as `{name}(2)`")
    there = f"parameters are {listed(known)}" if known else "there are no parameters"
    raise RefusalError(
        "E803", f"there is no parameter `{name[:40]}`", f"{did_you_mean(name[:40], known)}{there}"
    )


def _called(tree: Call, known: Mapping[str, Value]) -> Value:
    if tree.function not in FUNCTIONS:
        name = tree.function[:40]
        raise RefusalError(
            "E803",
            f"there is no function `{name}`",
            f"{did_you_mean(name, FUNCTIONS)}functions are {listed(FUNCTIONS)}",
        )
    return call(tree.function, tuple(_amount(item, known) for item in tree.given))


def _amount(tree: Tree, known: Mapping[str, Value]) -> Amount:
    value = evaluate(tree, known)
    if not isinstance(value, Amount):
        raise RefusalError(
            "E804",
            f"{say(value)} is not a number",
            "compare it with `==`, or choose by it with `a if c else b`",
            tree.start,
            tree.end,
        )
    return value


def _truth(tree: Tree, known: Mapping[str, Value]) -> bool:
    value = evaluate(tree, known)
    if not isinstance(value, bool):
        raise RefusalError(
            "E804",
            f"{say(value)} is neither true nor false",
            "compare it, as `tube > 2 in`",
            tree.start,
            tree.end,
        )
    return value


def _joined(tree: Chain, known: Mapping[str, Value]) -> bool:
    """`and`, `or`: what comes after the answer is settled is not worked out, as in Python."""
    settled_by = tree.rest[0][0] == "or"
    items = (tree.first, *(item for _, item in tree.rest))
    return next((settled_by for item in items if _truth(item, known) is settled_by), not settled_by)


def _compared(tree: Chain, known: Mapping[str, Value]) -> bool:
    """`a < b <= c` means that both hold."""
    left = evaluate(tree.first, known)
    for sign, item in tree.rest:
        right = evaluate(item, known)
        if not _holds(sign, left, right):
            return False
        left = right
    return True


def _holds(sign: str, left: Value, right: Value) -> bool:
    if isinstance(left, Amount) and isinstance(right, Amount):
        sense = order(left, right)
    elif type(left) is type(right) and sign in ("==", "!="):
        sense = int(left != right)
    else:
        raise RefusalError(
            "E804",
            f"can't compare {say(left)} with {say(right)}",
            "compare numbers with numbers, choices by `==` with text in quotes",
        )
    return {
        "<": sense < 0,
        "<=": sense <= 0,
        "==": sense == 0,
        "!=": sense != 0,
        ">=": sense >= 0,
        ">": sense > 0,
    }[sign]
