"""Which of a drawing's loops is the sheet's frame, the blank, what stands, an opening, a hole.

A drawing says where lines are, not which side of them is metal. The rule, outermost loop first:

a loop round all others, on a layer named as title or border      ──►  frame: left out
a loop round all others, with loops on other layers in it         ──►  blank: those in it stand
any other outermost loop                                          ──►  stands
a loop in one that stands, on its layer or on one named so        ──►  opening; one in it stands
a loop in one that stands, on a layer that says nothing           ──►  left out: not cut
a circle on a layer named as holes or drills                      ──►  hole: drilled, or left out

Where that may be wrong it is said, with how to have it the other way: a part cut the wrong way
round is scrap.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from compiler.drawing.layers import fits_name
from compiler.drawing.model import Loop
from compiler.drawing.nest import Nesting
from compiler.drawing.pick import circle_of
from compiler.geometry import Outline
from compiler.survey.layer_names import said_by
from compiler.units.number import counted

Role = Literal["frame", "blank", "stands", "opening", "hole", "left out"]

NO_BLANK = "none"  # what `blank` is told where no loop is the blank


@dataclass(frozen=True, slots=True)
class Told:
    """A sentence on how loops were read, and how to have them read otherwise."""

    what: str
    otherwise: str


@dataclass(frozen=True, slots=True)
class Reading:
    """Each loop's role, by its index, and what must be said of that."""

    roles: tuple[Role, ...]
    told: tuple[Told, ...] = ()

    @property
    def blank(self) -> int | None:
        """The index of the loop that is the blank."""
        return self.roles.index("blank") if "blank" in self.roles else None


class NoBlankError(LookupError):
    """No loop on the layer that the blank is said to be on."""


def read_outlines(loops: Sequence[Loop], nesting: Nesting, blank: str | None = None) -> Reading:
    """The role of each loop.

    Args:
        loops, nesting: The drawing's, which do not cross.
        blank: The layer, or pattern, whose largest loop is the blank; `none` where none is; None
            leaves it to the rule.

    Raises NoBlankError where no loop is on that layer.
    """
    reader = _Reader(loops, nesting)
    if blank == NO_BLANK:
        reader.take_none()
    elif blank is not None:
        reader.take_blank(blank)
    else:
        reader.find_blank()
    return Reading(tuple(reader.roles), tuple(reader.told))


class _Reader:
    """Roles as they are found; a loop that nothing was said of is left out."""

    def __init__(self, loops: Sequence[Loop], nesting: Nesting) -> None:
        self.loops = loops
        self.nesting = nesting
        self.roles: list[Role] = ["left out"] * len(loops)
        self.told: list[Told] = []
        self.strict = True  # loops in what stands are openings only where layers say so

    def outermost(self) -> list[int]:
        return [i for i in range(len(self.loops)) if self.nesting.depth(i) == 0]

    def take_blank(self, layer: str) -> None:
        on_it = [
            i
            for i, loop in enumerate(self.loops)
            if any(fits_name(name, layer) for name in loop.layers)
        ]
        if not on_it:
            raise NoBlankError(layer)
        top = max(on_it, key=lambda i: abs(self.loops[i].outline.area))
        for around in self.nesting.around[top]:
            self.roles[around] = "frame"
        self.roles[top] = "blank"
        self.told.append(self._blank_told(top, "is the blank, as you say"))
        for i in self.nesting.within(top):
            self.enter(i, as_blank_said=True)
        self._tell_unread([i for i in self._unread() if top in self.nesting.around[i]])
        beyond = [
            i
            for i in range(len(self.loops))
            if i != top and top not in self.nesting.around[i] and self.roles[i] != "frame"
        ]
        if beyond:
            self._tell("lie beyond the blank: left out", beyond, f"give `--blank {NO_BLANK}`")

    def find_blank(self) -> None:
        """The frames left out, then the blank where there is one."""
        top, others = self._without_frames()
        inner = [] if top is None else self.nesting.within(top)
        if top is None or not self._is_blank(top, inner):
            self._go_in(others)
            openings = [i for i in inner if self.roles[i] == "opening"]
            if top is not None and openings:
                self._tell(
                    "goes round all others: taken as what stands, the "
                    f"{'loop' if len(openings) == 1 else 'loops'} in it as cut out of it",
                    [top],
                    "if it is the blank, and what lies in it stands, give "
                    f"`--blank {_layer(self.loops[top])}`",
                )
            return
        self.roles[top] = "blank"
        self.told.append(self._blank_told(top, "goes round all others: taken as the blank"))
        for i in inner:
            self.enter(i)
        self._tell_floor(top)

    def take_none(self) -> None:
        """The frames left out; what is outermost then stands, loops in it are openings."""
        self.strict = False
        self._go_in(self._without_frames()[1])

    def _without_frames(self) -> tuple[int | None, list[int]]:
        """The loop round all others but frames, if there is one, and the outermost loops."""
        top = self._round_all()
        while top is not None and self._is_frame(top):
            self.roles[top] = "frame"
            self._tell(
                "goes round everything, as a sheet's frame does: left out",
                [top],
                f"if it is the blank give `--blank {_layer(self.loops[top])}`",
            )
            inner = self.nesting.within(top)
            if len(inner) != 1:
                return None, inner
            (top,) = inner
        return top, self.outermost() if top is None else [top]

    def _round_all(self) -> int | None:
        """The outermost loop that all the others lie in; None where there is none, or no other."""
        tops = self.outermost()
        return tops[0] if len(tops) == 1 and len(self.loops) > 1 else None

    def _is_frame(self, top: int) -> bool:
        said = said_by(self.loops[top].layers)
        inner = self.nesting.within(top)
        if said == "sheet":
            return True
        if len(inner) != 1 or not self.nesting.within(inner[0]):
            return False
        if set(self.loops[inner[0]].layers) & set(self.loops[top].layers):
            return False
        if said_by(self.loops[inner[0]].layers) in ("opening", "hole"):
            return False
        # an unnamed rectangle round a named outline
        named = said == "" and said_by(self.loops[inner[0]].layers) == "blank"
        return said == "maybe sheet" or (named and is_box(self.loops[top].outline))

    def _is_blank(self, top: int, inner: Sequence[int]) -> bool:
        """Whether what lies in an outermost loop is drawn as things of their own."""
        if said_by(self.loops[top].layers) == "stands":
            return False
        apart = [i for i in inner if not set(self.loops[i].layers) <= set(self.loops[top].layers)]
        said = [said_by(self.loops[i].layers) for i in apart]
        if "stands" in said:
            return True
        return "opening" not in said and any(s != "hole" for s in said)

    def _blank_told(self, top: int, how: str) -> Told:
        return Told(
            f"the loop on {_on(self.loops[top])} {how}; what lies in it stands, all else in it is "
            "cut down to the floor",
            f"if it is the part that stands, and what lies in it is cut out of it, give "
            f"`--blank {NO_BLANK}`",
        )

    def _go_in(self, indices: Sequence[int]) -> None:
        """Outermost loops, in a frame or in nothing: they stand."""
        for i in indices:
            self.enter(i)
        self._tell_unread(self._unread())

    def enter(self, i: int, as_blank_said: bool = False) -> None:
        """A loop in the blank, in an opening, or in nothing."""
        if self._is_hole(i):
            return
        if not as_blank_said:
            around = self.nesting.around[i][:1]
            if around and self.roles[around[0]] == "blank":
                same = set(self.loops[i].layers) <= set(self.loops[around[0]].layers)
                if same or said_by(self.loops[i].layers) in ("hole", "opening"):
                    return
        self.roles[i] = "stands"
        for k in self.nesting.within(i):
            said = said_by(self.loops[k].layers)
            own = set(self.loops[k].layers) <= set(self.loops[i].layers)
            if self._is_hole(k):
                continue
            if own or said in ("opening", "hole") or not self.strict:
                self.roles[k] = "opening"
                for island in self.nesting.within(k):
                    self.enter(island)

    def _is_hole(self, i: int) -> bool:
        """Whether a loop is a circle on a layer of holes: then it, and such ones in it, are."""
        loop = self.loops[i]
        if said_by(loop.layers) != "hole" or circle_of(loop) is None:
            return False
        self.roles[i] = "hole"
        for k in self.nesting.within(i):
            self._is_hole(k)
        return True

    def _unread(self) -> list[int]:
        """The loops that are left out, but those in others that are."""
        unread = [i for i, role in enumerate(self.roles) if role == "left out"]
        return [i for i in unread if not set(self.nesting.around[i]) & set(unread)]

    def _tell_floor(self, top: int) -> None:
        """Loops that are left out below the blank: in its floor, or on what stands."""
        unread = self._unread()
        floor = [i for i in unread if self.nesting.around[i][:1] == (top,)]
        if floor:
            self._tell(
                "would be cut into the floor: left out",
                floor,
                f"if it stands give `--blank {_layer(self.loops[top])}`; a hole is a `drill` "
                "pass, a deeper floor a setup of its own",
            )
        self._tell_unread([i for i in unread if i not in floor])

    def _tell_unread(self, indices: Sequence[int]) -> None:
        if not indices:
            return
        self._tell(
            "lies in a loop that stands, and its layer does not say which it is: left out, and "
            "not cut",
            indices,
            "an opening if it is drawn on the layer of what is round it, a step if the job gives "
            f"it a region and a `top`; `--blank {NO_BLANK}` takes such loops as openings",
        )

    def _tell(self, what: str, indices: Sequence[int], otherwise: str) -> None:
        layers = sorted({name for i in indices for name in self.loops[i].layers})
        many = len(indices) > 1
        head = f"{counted(len(indices), 'loop')} on" if many else "the loop on"
        words = what
        if many:
            words = what.replace("lies in", "lie in").replace("its layer does", "their layers do")
            words = words.replace("which it is", "which they are")
        self.told.append(Told(f"{head} {', '.join(layers)} {words}", otherwise))


def _on(loop: Loop) -> str:
    return ", ".join(loop.layers)


def _layer(loop: Loop) -> str:
    """A layer by which to name a loop on the command line."""
    name = loop.layers[0]
    return f'"{name}"' if " " in name else name


def is_box(outline: Outline) -> bool:
    """Whether an outline is a rectangle that lies square, to a hundredth of a millimetre."""
    x0, y0, x1, y1 = outline.bounds
    return (x1 - x0) * (y1 - y0) - abs(outline.area) <= 0.01 * outline.length
