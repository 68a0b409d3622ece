"""The control: takes blocks in order, keeps its state, and says what moves.

The order inside a block is that of NISTIR 6556 sec. 3.8, table 8: feed, speed, tool, change,
spindle, coolant, dwell, plane, units, cutter compensation, length offset, work offset, path mode,
distance, cycle return, home or motion, stop.
"""

import math
from collections.abc import Mapping
from dataclasses import replace
from typing import Literal

from compiler.read import cycles
from compiler.read.arcs import arc_centre
from compiler.read.compensation import Compensation, Leg
from compiler.read.far import check_moves, check_stay
from compiler.read.groups import (
    CHIP_BREAKING,
    CYCLES,
    DWELL,
    WORK_OFFSETS,
    sorted_out,
    whole,
)
from compiler.read.homing import home, machine_move
from compiler.read.model import MM_PER, Block, Motion, Place, Side, State
from compiler.read.plain import plain_block
from compiler.read.refusal import RefusalError
from compiler.read.target import target
from compiler.read.users import check_users, dwell_by_x, refuse_under_compensation
from compiler.read.words import Line

Dwell = Literal["p_seconds", "p_milliseconds", "x_seconds"]
NO_MOTION = "state G0 or G1 before them: G80 ended the motion that was in force"
_NAN = math.nan


class Control:
    """State and position of the machine while a text is read. One per text."""

    def __init__(
        self,
        state: State,
        place: Place,
        *,
        offsets: Mapping[int, float] | None = None,
        chip_breaking: bool = False,
        dwell: Dwell = "p_seconds",
    ) -> None:
        """`offsets`: the radius, mm, that stands in the control's table under each D number."""
        self.state = state
        self.place = place
        self.ended = False
        self._offsets = offsets or {}
        self._chip_breaking = chip_breaking
        self._dwell_form = dwell
        self._compensation: Compensation | None = None
        self._sticky: cycles.Sticky | None = None
        self._stayed = 0.0  # seconds that a cycle dwelt in the present block
        self._states: dict[str, State] = {}  # the last ones, the same but for their motion

    def take(self, number: int, line: Line) -> Block:
        """Does one block. Raises RefusalError; state and place are then of no further use."""
        words, g, m = sorted_out(line.words)
        if g.get("motion") == CHIP_BREAKING and not self._chip_breaking:
            raise RefusalError(
                "`G73` is no code of the language", "write the pecks of the hole as single moves"
            )
        if g.get("one-shot") == DWELL and self._dwell_form == "x_seconds":
            words = dwell_by_x(words)
        check_users(words, g, self.state)
        if self._compensation is not None:
            refuse_under_compensation(g, m)
        self._set_machine(words, m)
        self._stayed = 0.0
        dwell = self._dwell(words, g)
        self._set_modes(words, g)
        motions = self._moves(number, words, g)
        check_moves(motions)
        check_stay(dwell + self._stayed)
        stop = m.get("stopping")
        if stop in (2, 30):
            self._end()
        return Block(
            line=number,
            words=line.words,
            state=self.state,
            motions=tuple(motions),
            dwell=dwell + self._stayed,
            comment=line.comment,
        )

    def take_plain(self, number: int, text: str) -> Block | None:
        """Does one plain block, as `take` would; None, and nothing is done, where it is none."""
        if self._compensation is not None:
            return None
        block = plain_block(number, text, self.state, self.place, self._moving)
        if block is not None:
            self.state, self.place = block.state, block.motions[0].end
            self._sticky = None
        return block

    @property
    def scale(self) -> float:
        """Millimetres in the text's unit. Raises RefusalError where it has not said one."""
        if self.state.units is None:
            raise RefusalError(
                "a length or feed stands before the units are stated",
                "state G20 (inch) or G21 (mm) at the top of the program",
            )
        return MM_PER[self.state.units]

    def _set_machine(self, words: dict[str, float], m: dict[str, int]) -> None:
        """Steps 3 to 8: feed, speed, tool, change, spindle, coolant."""
        if not m and not words.keys() & {"F", "S", "T"}:
            return
        state = self.state
        if "F" in words:
            if words["F"] < 0:
                raise RefusalError("`F` is negative")
            if (feed := words["F"] * self.scale) != state.feed:
                state = replace(state, feed=feed)
        if "S" in words:
            if words["S"] < 0:
                raise RefusalError("`S` is negative")
            state = replace(state, rpm=words["S"])
        if "T" in words:
            state = replace(state, selected=whole("T", words["T"]))
        if "tool change" in m:
            if state.selected is None:
                raise RefusalError("M6 changes the tool, but no `T` has said to which")
            state = replace(state, tool=state.selected, spindle="off")
            # Where the axes stand after a change is the changer's or the operator's business.
            self.place = Place(home=self.place.home)
        spindle = m.get("spindle")
        if spindle is not None:
            turning = {3: "cw", 4: "ccw", 5: "off"}
            state = replace(state, spindle=turning[spindle])  # type: ignore[arg-type]
        match m.get("coolant"):
            case 7:
                state = replace(state, mist=True)
            case 8:
                state = replace(state, flood=True)
            case 9:
                state = replace(state, mist=False, flood=False)
        self.state = state

    def _dwell(self, words: dict[str, float], g: dict[str, int]) -> float:
        """Step 10: G4, seconds."""
        if g.get("one-shot") != DWELL:
            return 0.0
        if "P" not in words:
            raise RefusalError("G4 needs `P`, the seconds to stay")
        if words["P"] < 0:
            raise RefusalError("`P` is negative")
        return words["P"] * self._per_second

    @property
    def _per_second(self) -> float:
        """Seconds in the unit of `P`."""
        return 0.001 if self._dwell_form == "p_milliseconds" else 1.0

    def _set_modes(self, words: dict[str, float], g: dict[str, int]) -> None:
        """Steps 12 to 18: units, length offset, work offset, distance, cycle return."""
        if not g:
            return
        state = self.state
        if "units" in g:
            state = replace(state, units="inch" if g["units"] == 200 else "mm")
        if "cutter compensation" in g:
            state = self._compensate(state, words, g["cutter compensation"])
        if g.get("length offset") == 430:
            if "H" not in words:
                raise RefusalError("G43 needs `H`, the offset's number")
            state = replace(state, length_offset=whole("H", words["H"]))
        elif g.get("length offset") == 490:
            state = replace(state, length_offset=None)
        if state.length_offset != self.state.length_offset:
            self._forget_z()
        if "work offset" in g:
            name = WORK_OFFSETS[g["work offset"]]
            if name != state.work_offset:
                self.place = Place(home=self.place.home)
            state = replace(state, work_offset=name)
        if "distance" in g:
            state = replace(state, absolute=g["distance"] == 900)
        if "cycle return" in g:
            state = replace(state, cycle_return=g["cycle return"] // 10)
        if "motion" in g:
            if (motion := f"G{g['motion'] // 10}") != state.motion:
                state = self._moving(state, motion)
            if g["motion"] not in CYCLES:
                self._sticky = None
        self.state = state

    def _moving(self, state: State, motion: str) -> State:
        """The state with another motion in force: programs go to and fro between a few."""
        if self._states.get(state.motion) is not state:
            self._states = {state.motion: state}
        found = self._states.get(motion)
        if found is None:
            found = self._states[motion] = replace(state, motion=motion)
        return found

    def _compensate(self, state: State, words: dict[str, float], code: int) -> State:
        """G40, G41, G42. The offset that a D word names must be one that the reader was told."""
        if code == 400:
            self._compensation = None
            return replace(state, compensation="off", diameter_offset=None)
        name, left = f"G{code // 10}", code == 410
        if "D" not in words:
            raise RefusalError(f"{name} does not say by `D` which offset it reads")
        number = whole("D", words["D"])
        if number not in self._offsets:
            raise RefusalError(
                f"{name} lets the control shift the path by the value of D{number}, which neither "
                "the text nor the job gives",
                "leave the compensation out, or let the job's pass say `compensation: control`",
            )
        self._compensation = Compensation.on(left, self._offsets[number], self.scale)
        side: Side = "left" if left else "right"
        return replace(state, compensation=side, diameter_offset=number)

    def _forget_z(self) -> None:
        """Another length in force: the tip's height is not known until Z is commanded."""
        self.place = Place(self.place.x, self.place.y, _NAN, self.place.home)

    def _moves(self, number: int, words: dict[str, float], g: dict[str, int]) -> list[Motion]:
        """Steps 19 and 20."""
        axes = [axis for axis in "XYZ" if axis in words]
        one_shot = g.get("one-shot")
        if one_shot in (280, 300):
            moves = home(number, self.state, self.place, words, axes, self._target)
            self.place = moves[-1].end
            return moves
        if one_shot == 530:
            moves = [machine_move(number, self.state, self.place, words, axes)]
            self.place = moves[-1].end
            return moves
        if not axes:
            if "motion" in g and g["motion"] not in (0, 10, 800) and g["motion"] not in CYCLES:
                raise RefusalError("an arc in the XY plane needs `X` or `Y`")
            if "motion" in g and g["motion"] != 800:
                raise RefusalError(f"{self.state.motion} moves, but no axis word says where")
            return []
        code = int(self.state.motion[1:]) * 10
        if code == 800:
            raise RefusalError("axis words stand where no motion is in force", NO_MOTION)
        if code in CYCLES:
            return self._cycle(number, code, words)
        start = self.place
        end = self._target(words)
        if self._compensation is not None:
            return self._shifted(number, code, words, end, self._compensation)
        if code == 0:
            self.place = end
            return [Motion(line=number, kind="rapid", start=start, end=end, state=self.state)]
        if self.state.feed <= 0:
            raise RefusalError("a fed move stands while the feed is zero")
        if code == 10:
            self.place = end
            return [Motion(line=number, kind="line", start=start, end=end, state=self.state)]
        return [self._arc(number, start, end, words, ccw=code == 30)]

    def _arc(
        self, number: int, start: Place, end: Place, words: dict[str, float], *, ccw: bool
    ) -> Motion:
        if math.isnan(start.x + start.y + start.z):
            raise RefusalError(
                "an arc starts where the text has not said the position",
                "give X, Y and Z by straight moves first",
            )
        assert self.state.units is not None
        centre = arc_centre(
            start.xy, end.xy, words, ccw=ccw, units=self.state.units, scale=self.scale
        )
        self.place = end
        return Motion(
            line=number,
            kind="arc",
            start=start,
            end=end,
            state=self.state,
            centre=centre,
            ccw=ccw,
        )

    def _target(self, words: dict[str, float]) -> Place:
        """Where the axis words lead: absolute, or from here. Under compensation `here` is where
        the text stands, which is not where the tool's centre is.
        """
        here = self.place
        if self._compensation is not None and self._compensation.corner is not None:
            corner = self._compensation.corner
            here = Place(corner.x, corner.y, here.z, here.home)
        return target(words, here, self.scale, absolute=self.state.absolute)

    def _shifted(
        self,
        number: int,
        code: int,
        words: dict[str, float],
        end: Place,
        compensation: Compensation,
    ) -> list[Motion]:
        """What a move becomes while the control compensates: its legs, the last down to its Z."""
        here = self.place
        if code == 0:
            raise RefusalError(
                "a rapid stands while the control compensates",
                "switch the compensation off by G40 on a fed straight move first",
            )
        if self.state.feed <= 0:
            raise RefusalError("a fed move stands while the feed is zero")
        if not (here.known and end.known):
            raise RefusalError("the control compensates where the text has not said the position")
        if code == 10:
            legs = compensation.straight(here.xy, end.xy)
        else:
            corner = compensation.corner
            assert self.state.units is not None
            centre = arc_centre(
                corner if corner is not None else here.xy,
                end.xy,
                words,
                ccw=code == 30,
                units=self.state.units,
                scale=self.scale,
            )
            legs = compensation.arc(here.xy, end.xy, centre, ccw=code == 30)
        if not legs and end.z != here.z:
            legs = [Leg(here.xy)]
        return [self._leg(number, leg, leg is legs[-1], end.z) for leg in legs]

    def _leg(self, number: int, leg: Leg, is_last: bool, z: float) -> Motion:
        start = self.place
        self.place = Place(leg.to.x, leg.to.y, z if is_last else start.z, start.home)
        return Motion(
            line=number,
            kind="line" if leg.centre is None else "arc",
            start=start,
            end=self.place,
            state=self.state,
            centre=leg.centre,
            ccw=leg.ccw,
        )

    def _cycle(self, number: int, code: int, words: dict[str, float]) -> list[Motion]:
        """G81 to G83, expanded."""
        start = self.place
        if not start.known:
            raise RefusalError("a cycle starts where the text has not said the position")
        if self.state.feed <= 0:
            raise RefusalError("a fed move stands while the feed is zero")
        if code == 820 and self._dwell_form == "x_seconds":
            raise RefusalError(
                "the unit of G82's `P` is not said where G4 takes `X`",
                "write the hole as single moves, with G4 at its bottom",
            )
        cycle = cycles.resolve(
            code,
            words,
            self._sticky,
            start.z,
            scale=self.scale,
            absolute=self.state.absolute,
        )
        self._sticky = cycle
        at = cycles.places(words, start, scale=self.scale, absolute=self.state.absolute)
        moves: list[Motion] = []
        for leg in cycles.expand(cycle, start, at, to_old_z=self.state.cycle_return == 98):
            self._stayed += leg.dwell * self._per_second
            if leg.to == self.place:
                continue
            kind = "rapid" if leg.rapid else "line"
            moves.append(
                Motion(line=number, kind=kind, start=self.place, end=leg.to, state=self.state)  # type: ignore[arg-type]
            )
            self.place = leg.to
        return moves

    def _end(self) -> None:
        """M2 and M30 reset (sec. 3.6.1); units and length offset stay."""
        self.ended = True
        self._compensation = None
        self.state = replace(
            self.state,
            compensation="off",
            diameter_offset=None,
            work_offset="G54",
            plane=17,
            absolute=True,
            per_minute=True,
            spindle="off",
            motion="G1",
            mist=False,
            flood=False,
        )
