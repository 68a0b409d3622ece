"""The control: takes blocks in order, keeps its state, and says what moves.

The order inside a block is that of NISTIR 6556 sec. 3.8, table 8: feed, speed, tool, change,
spindle, coolant, dwell, plane, units, length offset, work offset, path mode, distance, cycle
return, home or motion, stop.
"""

import math
from dataclasses import replace

from compiler.read import cycles
from compiler.read.arcs import arc_centre
from compiler.read.groups import CYCLES, WORK_OFFSETS, g_codes, m_codes, whole
from compiler.read.model import Block, Motion, Place, State
from compiler.read.refusal import RefusalError
from compiler.read.users import check_users
from compiler.read.words import Line

MM_PER = {"mm": 1.0, "inch": 25.4}
_NAN = math.nan


class Control:
    """State and position of the machine while a text is read. One per text."""

    def __init__(self, state: State, place: Place) -> None:
        self.state = state
        self.place = place
        self.ended = False
        self._sticky: cycles.Sticky | None = None
        self._stayed = 0.0  # seconds that a cycle dwelt in the present block

    def take(self, number: int, line: Line) -> Block:
        """Does one block. Raises RefusalError; state and place are then of no further use."""
        words = {letter: value for letter, value in line.words if letter not in "GM"}
        g = g_codes([value for letter, value in line.words if letter == "G"])
        m = m_codes([value for letter, value in line.words if letter == "M"])
        check_users(words, g, self.state)
        self._set_machine(words, m)
        self._stayed = 0.0
        dwell = self._dwell(words, g)
        self._set_modes(words, g)
        motions = self._moves(number, words, g)
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
        if g.get("one-shot") != 40:
            return 0.0
        if "P" not in words:
            raise RefusalError("G4 needs `P`, the seconds to stay")
        if words["P"] < 0:
            raise RefusalError("`P` is negative")
        return words["P"]

    def _set_modes(self, words: dict[str, float], g: dict[str, int]) -> None:
        """Steps 12 to 18: units, length offset, work offset, distance, cycle return."""
        state = self.state
        if "units" in g:
            state = replace(state, units="inch" if g["units"] == 200 else "mm")
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
                state = replace(state, motion=motion)
            if g["motion"] not in CYCLES:
                self._sticky = None
        self.state = state

    def _forget_z(self) -> None:
        """Another length in force: the tip's height is not known until Z is commanded."""
        self.place = Place(self.place.x, self.place.y, _NAN, self.place.home)

    def _moves(self, number: int, words: dict[str, float], g: dict[str, int]) -> list[Motion]:
        """Steps 19 and 20."""
        axes = [axis for axis in "XYZ" if axis in words]
        one_shot = g.get("one-shot")
        if one_shot in (280, 300):
            return self._home(number, words, axes)
        if one_shot == 530:
            return self._machine_move(number, words, axes, g)
        if not axes:
            if "motion" in g and g["motion"] not in (0, 10, 800) and g["motion"] not in CYCLES:
                raise RefusalError("an arc in the XY plane needs `X` or `Y`")
            if "motion" in g and g["motion"] != 800:
                raise RefusalError(f"{self.state.motion} moves, but no axis word says where")
            return []
        code = int(self.state.motion[1:]) * 10
        if code == 800:
            raise RefusalError("axis words stand where no motion is in force")
        if code in CYCLES:
            return self._cycle(number, code, words)
        start = self.place
        end = self._target(words)
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
        """Where the axis words lead: absolute, or from here."""
        here = self.place
        values: list[float] = []
        home = here.home
        for axis, now in (("X", here.x), ("Y", here.y), ("Z", here.z)):
            if axis not in words:
                values.append(now)
                continue
            value = words[axis] * self.scale
            if not self.state.absolute:
                if math.isnan(now):
                    raise RefusalError(
                        f"`{axis}` is incremental from a position that the text has not said",
                        "state G90 and give the axis an absolute value first",
                    )
                value += now
            values.append(value)
            home = home.replace(axis, "")
        return Place(values[0], values[1], values[2], home)

    def _home(self, number: int, words: dict[str, float], axes: list[str]) -> list[Motion]:
        """G28, G30: by rapid through the written point, then the named axes (or all) home."""
        moves: list[Motion] = []
        start = self.place
        stays = not self.state.absolute and all(words[axis] == 0 for axis in axes)
        if axes and not stays:
            middle = self._target(words)
            moves.append(
                Motion(line=number, kind="rapid", start=start, end=middle, state=self.state)
            )
            start = middle
        moves.append(self._send_home(number, start, axes or list("XYZ"), "".join(axes or "XYZ")))
        return moves

    def _machine_move(
        self, number: int, words: dict[str, float], axes: list[str], g: dict[str, int]
    ) -> list[Motion]:
        """G53: a rapid in machine coordinates. Only zero is known there: the end of travel."""
        if not self.state.absolute:
            raise RefusalError("G53 stands while G91 is in force")
        if self.state.motion not in ("G0", "G1"):
            raise RefusalError("G53 stands without G0 or G1")
        if self.state.motion == "G1":
            raise RefusalError("G53 with G1 cuts in machine coordinates, which the part is not in")
        if not axes:
            raise RefusalError("G53 moves, but no axis word says where")
        ends = "".join(axis for axis in axes if words[axis] == 0)
        return [self._send_home(number, self.place, axes, ends)]

    def _send_home(self, number: int, start: Place, axes: list[str], ends: str) -> Motion:
        """One rapid in machine coordinates; `ends`: the axes that come to their end of travel."""
        home = "".join(a for a in "XYZ" if a in ends or (a in start.home and a not in axes))
        end = Place(
            _NAN if "X" in axes else start.x,
            _NAN if "Y" in axes else start.y,
            _NAN if "Z" in axes else start.z,
            home,
        )
        self.place = end
        return Motion(
            line=number,
            kind="rapid",
            start=start,
            end=end,
            state=self.state,
            machine="".join(axes),
        )

    def _cycle(self, number: int, code: int, words: dict[str, float]) -> list[Motion]:
        """G81 to G83, expanded."""
        start = self.place
        if not start.known:
            raise RefusalError("a cycle starts where the text has not said the position")
        if self.state.feed <= 0:
            raise RefusalError("a fed move stands while the feed is zero")
        cycle = cycles.resolve(
            code,
            words,
            self._sticky,
            start.z,
            scale=self.scale,
            absolute=self.state.absolute,
        )
        self._sticky = cycle
        at: list[Place] = []
        here = start
        for _ in range(cycles.repeats(words)):
            dx, dy = words.get("X", 0.0) * self.scale, words.get("Y", 0.0) * self.scale
            if self.state.absolute:
                here = Place(dx if "X" in words else here.x, dy if "Y" in words else here.y, here.z)
            else:
                here = Place(here.x + dx, here.y + dy, here.z)
            at.append(here)
        moves: list[Motion] = []
        for leg in cycles.expand(cycle, start, at, to_old_z=self.state.cycle_return == 98):
            self._stayed += leg.dwell
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
        self.state = replace(
            self.state,
            work_offset="G54",
            plane=17,
            absolute=True,
            per_minute=True,
            spindle="off",
            motion="G1",
            mist=False,
            flood=False,
        )
