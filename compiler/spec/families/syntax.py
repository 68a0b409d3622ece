"""Words to a tree: the grammar of expressions, with the precedence that Python has.

    choice      either [ "if" either "else" choice ]
    either      both { "or" both }
    both        denial { "and" denial }
    denial      "not" denial | comparison
    comparison  sum { ("<" | "<=" | "==" | "!=" | ">=" | ">") sum }
    sum         product { ("+" | "-") product }
    product     signed { ("*" | "/" | "//" | "%") signed }
    signed      ("+" | "-") signed | power
    power       atom [ "**" signed ]
    atom        number [unit] | text | name | name "(" choice { "," choice } ")" | "(" choice ")"

Depth is counted as it is read, so no text can exhaust the stack.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from compiler.spec.families.amount import Amount, with_unit
from compiler.spec.families.refusal import RefusalError
from compiler.spec.families.tokens import Token, tokens

MAX_DEPTH = 30
WORDS = ("if", "else", "and", "or", "not", "true", "false")
COMPARISONS = ("<", "<=", "==", "!=", ">=", ">")


@dataclass(frozen=True, slots=True)
class Constant:
    """A number with its unit, quoted text, true or false."""

    value: Amount | str | bool
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Name:
    """A parameter, or `pi`."""

    name: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Signed:
    """`-` or `+` or `not` before a value."""

    sign: str
    of: Tree
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Chain:
    """Values joined by signs of one precedence, from the left: `a - b + c`, `a < b <= c`."""

    first: Tree
    rest: tuple[tuple[str, Tree], ...]
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Choice:
    """`a if c else b`."""

    then: Tree
    condition: Tree
    otherwise: Tree
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Call:
    """A function and what it is given."""

    function: str
    given: tuple[Tree, ...]
    start: int
    end: int


Tree = Constant | Name | Signed | Chain | Choice | Call


def parse(text: str) -> Tree:
    """The tree of an expression, without the `${` and `}`. Raises RefusalError (E801, E802)."""
    reader = _Reader(tokens(text))
    if not text.strip():
        raise RefusalError("E801", "an expression that says nothing", "write `${ tube / 2 }`")
    tree = reader.choice()
    if reader.now.kind != "end":
        raise reader.unexpected("the expression should end here")
    return tree


def names(tree: Tree) -> Iterator[Name]:
    """Every name in a tree."""
    match tree:
        case Name():
            yield tree
        case Signed(of=of):
            yield from names(of)
        case Chain(first, rest):
            yield from names(first)
            for _, item in rest:
                yield from names(item)
        case Choice(then, condition, otherwise):
            for part in (then, condition, otherwise):
                yield from names(part)
        case Call(given=given):
            for part in given:
                yield from names(part)
        case Constant():
            pass


@dataclass(slots=True)
class _Reader:
    """Walks the words once; `now` is the one under the finger."""

    words: tuple[Token, ...]
    place: int = 0
    depth: int = field(default=0)

    @property
    def now(self) -> Token:
        return self.words[self.place]

    def step(self) -> Token:
        token = self.now
        self.place += 1
        return token

    def sees(self, *texts: str) -> bool:
        """Whether one of these signs or words of the language comes next."""
        return self.now.kind in ("sign", "name") and self.now.text in texts

    def unexpected(self, help: str) -> RefusalError:
        token = self.now
        what = f"`{token.text}` can't stand here" if token.text else "the expression breaks off"
        return RefusalError("E801", what, help, max(token.start - (not token.text), 0), token.end)

    def choice(self) -> Tree:
        self._deeper()
        then = self._chain(self.both, ("or",))
        tree: Tree = then
        if self.sees("if"):
            self.step()
            condition = self._chain(self.both, ("or",))
            self._expect("else", "`a if c else b` needs its `else`")
            otherwise = self.choice()
            tree = Choice(then, condition, otherwise, then.start, otherwise.end)
        self.depth -= 1
        return tree

    def both(self) -> Tree:
        return self._chain(self.denial, ("and",))

    def denial(self) -> Tree:
        if not self.sees("not"):
            return self._chain(self.sum, COMPARISONS)
        return self._signed(self.denial)

    def sum(self) -> Tree:
        return self._chain(self.product, ("+", "-"))

    def product(self) -> Tree:
        return self._chain(self.signed, ("*", "/", "//", "%"))

    def signed(self) -> Tree:
        return self._signed(self.signed) if self.sees("+", "-") else self.power()

    def power(self) -> Tree:
        base = self.atom()
        if not self.sees("**"):
            return base
        self.step()
        self._deeper()
        exponent = self.signed()
        self.depth -= 1
        return Chain(base, (("**", exponent),), base.start, exponent.end)

    def atom(self) -> Tree:
        token = self.now
        match token.kind:
            case "number":
                self.step()
                return Constant(_number(token), token.start, token.end)
            case "text":
                self.step()
                return Constant(token.text, token.start, token.end)
            case "name" if token.text in ("true", "false"):
                self.step()
                return Constant(token.text == "true", token.start, token.end)
            case "name" if token.text not in WORDS:
                self.step()
                return self._call(token) if self.sees("(") else self._name(token)
            case _ if self.sees("("):
                self.step()
                inside = self.choice()
                self._expect(")", "a bracket that was opened is not closed")
                return inside
            case _:
                raise self.unexpected("a value should stand here: a number, a parameter, a bracket")

    def _name(self, token: Token) -> Name:
        return Name(token.text, token.start, token.end)

    def _call(self, name: Token) -> Call:
        self.step()
        given = [self.choice()]
        while self.sees(","):
            self.step()
            given.append(self.choice())
        end = self._expect(")", f"close the bracket of `{name.text}`").end
        return Call(name.text, tuple(given), name.start, end)

    def _signed(self, inner: Callable[[], Tree]) -> Signed:
        self._deeper()
        sign = self.step()
        of = inner()
        self.depth -= 1
        return Signed(sign.text, of, sign.start, of.end)

    def _chain(self, part: Callable[[], Tree], signs: tuple[str, ...]) -> Tree:
        first = part()
        rest: list[tuple[str, Tree]] = []
        while self.sees(*signs):
            sign = self.step().text
            rest.append((sign, part()))
        return Chain(first, tuple(rest), first.start, rest[-1][1].end) if rest else first

    def _expect(self, text: str, help: str) -> Token:
        if not self.sees(text):
            raise self.unexpected(help)
        return self.step()

    def _deeper(self) -> None:
        self.depth += 1
        if self.depth > MAX_DEPTH:
            raise RefusalError(
                "E802",
                f"an expression more than {MAX_DEPTH} levels deep",
                "put parts of it into parameters with `value`",
            )


def _number(token: Token) -> Amount:
    number: int | float = int(token.text) if token.text.isdigit() else float(token.text)
    if abs(number) > 1e15:
        raise RefusalError(
            "E805", "a number that is far too large", "check it", token.start, token.end
        )
    return with_unit(number, token.unit) if token.unit else Amount(number)
