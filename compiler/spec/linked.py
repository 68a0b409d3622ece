"""Drawings and solid models that shapes name: found below the root, read once for a whole job.

{drawing: {file: plate.dxf, layer: BOSS, containing: [1, 2]}}  ──►  Region
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from compiler.diagnostics import Diagnostic, Outcome
from compiler.geometry import Chain, Point, Region
from compiler.spec.files import named_file
from compiler.spec.models.shapes import Drawing as Named
from compiler.spec.models.shapes import DrawnPoint, Section

if TYPE_CHECKING:
    from compiler.drawing.model import Drawing
    from compiler.drawing.select import Asked
    from compiler.drawing.strays import Memo
    from compiler.drawing.voice import Voice
    from compiler.geometry.near import Box
    from compiler.solid.model import Face, Solid
    from compiler.spec.place import Place


@dataclass(slots=True)
class _Read:
    """A drawing as far as it could be read, and its line work as joined so far."""

    drawing: Drawing | None
    memo: Memo


@dataclass(slots=True)
class Linked:
    """The files that a job's shapes name, by path; a file is read when first asked for.

    Attributes:
        root: The project's root; nothing outside it is read.
        files: What was read, by its name for people: the sha256 of each.
    """

    root: Path
    files: dict[str, str] = field(default_factory=dict)
    _drawings: dict[tuple[Path, str | None], _Read] = field(default_factory=dict)
    _solids: dict[Path, Solid | None] = field(default_factory=dict)
    # by solids, which the tables around keep alive
    _faces: dict[int, list[Face]] = field(default_factory=dict)
    _outlines: dict[tuple[int, bool, float | None], Region | None] = field(default_factory=dict)
    _laid: dict[tuple[object, ...], Solid | None] = field(default_factory=dict)

    def region(self, said: Named, place: Place) -> Region | None:
        """The region of a `drawing` shape; None where there is none, which is then reported."""
        from compiler.drawing.select import closed_region

        read = self._read(said, place)
        if read is None or read.drawing is None:
            return None
        made = closed_region(read.drawing, _asked(said), _voice(said, place), read.memo)
        place.findings.extend(made.findings)
        return made.value

    def chain(self, said: Named, place: Place) -> Chain | None:
        """The open chain of a `drawing`; None where there is none, which is then reported."""
        from compiler.drawing.select import open_chain

        read = self._read(said, place)
        if read is None or read.drawing is None:
            return None
        made = open_chain(read.drawing, _asked(said), _voice(said, place), read.memo)
        place.findings.extend(made.findings)
        return made.value

    def holes(self, said: Named, place: Place) -> tuple[Point, ...]:
        """The centres of a drawing's circles; none where that fails, which is then reported."""
        from compiler.drawing.pick import hole_centres

        read = self._read(said, place)
        if read is None or read.drawing is None:
            return ()
        made = hole_centres(read.drawing, _asked(said), _voice(said, place), read.memo)
        place.findings.extend(made.findings)
        return made.value or ()

    def point(self, said: DrawnPoint, place: Place) -> Point | None:
        """A point picked from a drawing; None where there is none, which is then reported."""
        from compiler.drawing import pick

        read = self._read(said, place)
        if read is None or read.drawing is None:
            return None
        drawing, asked, voice = read.drawing, _asked(said), _voice(said, place)
        if said.corner is not None:
            made = pick.box_corner(drawing, asked, said.corner, voice)
        elif said.centre_round is not None:
            made = pick.loop_centre(drawing, asked, _point(said.centre_round), voice, read.memo)
        elif said.crossing_near is not None:
            made = pick.crossing_near(drawing, asked, _point(said.crossing_near), voice)
        else:
            assert said.point_near is not None
            made = pick.point_near(drawing, asked, _point(said.point_near), voice)
        place.findings.extend(made.findings)
        return made.value

    def section(self, said: Section, place: Place) -> Region | None:
        """The region of a `model` shape; None where there is none, which is then reported."""
        from compiler.solid.faces import faces_of
        from compiler.solid.features import piece_round
        from compiler.solid.section import section, silhouette

        voice = _voice(said, place)
        solid = self._solid(said, place)
        if solid is None:
            return None
        seen = said.at_z is None
        height = said.down_to if seen else said.at_z
        z = None if height is None else float(height)
        key = (id(solid), seen, z)
        if key not in self._outlines:
            if z is not None and not seen:
                made = section(solid, z, voice)
            else:
                if id(solid) not in self._faces:
                    self._faces[id(solid)] = faces_of(solid)
                made = silhouette(solid, z, voice, self._faces[id(solid)])
            self._outlines[key] = made.value
            place.findings.extend(made.findings)
        made = Outcome(self._outlines[key])
        if made.value is not None and said.containing is not None:
            made = piece_round(made.value, _point(said.containing), voice)
        place.findings.extend(made.findings)
        return made.value

    def model_boxes(self) -> list[Box]:
        """The box, seen from above, of every model as it was laid for some shape."""
        return [
            (s.box[0], s.box[1], s.box[3], s.box[4]) for s in self._laid.values() if s is not None
        ]

    def _solid(self, said: Section, place: Place) -> Solid | None:
        """The model, read at the first asking and laid as this shape wants it."""
        from compiler.solid.orient import laid
        from compiler.solid.read import MAX_BYTES, read_solid

        where = place / "file"
        by = self.root / where.span.file
        found = named_file(said.file, by, self.root, where.span, where.text, MAX_BYTES)
        place.findings.extend(found.findings)
        if found.value is None:
            return None
        path, voice = found.value.path, _voice(said, place)
        if path not in self._solids:
            read = read_solid(found.value.data, voice)
            place.findings.extend(read.findings)
            self._solids[path] = read.value
        solid = self._solids[path]
        if solid is None:
            return None
        face = said.up_face
        up_face = None if face is None else (float(face[0]), float(face[1]), float(face[2]))
        z0 = said.z0 if said.z0 is None or isinstance(said.z0, str) else float(said.z0)
        key = (path, said.up, up_face, z0)
        if key not in self._laid:
            turned = laid(solid, voice, up=said.up or "z", up_face=up_face, z0=z0)
            place.findings.extend(turned.findings)
            self._laid[key] = turned.value
        return self._laid[key]

    def drawing_boxes(self) -> list[Box]:
        """The overall box of every drawing that was read so far."""
        return [
            read.drawing.bounds
            for read in self._drawings.values()
            if read.drawing is not None and read.drawing.bounds is not None
        ]

    def strays(self) -> tuple[Diagnostic, ...]:
        """What the job's shapes left open in its drawings, once all of them have been picked."""
        return tuple(f for read in self._drawings.values() for f in read.memo.strays_left())

    def _read(self, said: Named | DrawnPoint, place: Place) -> _Read | None:
        """The drawing, read at the first asking; what is wrong with it is told then."""
        from compiler.drawing.document import MAX_BYTES
        from compiler.drawing.read import read_drawing
        from compiler.drawing.strays import Memo

        where = place / "file"
        by = self.root / where.span.file
        found = named_file(said.file, by, self.root, where.span, where.text, MAX_BYTES)
        place.findings.extend(found.findings)
        if found.value is None:
            return None
        self.files[found.value.name] = found.value.digest
        key = (found.value.path, said.units)
        if key not in self._drawings:
            read = read_drawing(found.value.data, _voice(said, place), units=said.units)
            place.findings.extend(read.findings)
            self._drawings[key] = _Read(read.value, Memo())
        return self._drawings[key]


def _voice(said: Named | DrawnPoint | Section, place: Place) -> Voice:
    from compiler.drawing.voice import Voice

    where = place / "file"
    return Voice(said.file, place.units, where.span, where.text)


def _asked(said: Named | DrawnPoint) -> Asked:
    from compiler.drawing.model import JOIN_GAP
    from compiler.drawing.select import Asked

    layers = said.layers if said.layer is None else (said.layer,)
    if isinstance(said, DrawnPoint):
        gap = JOIN_GAP if said.join_gap is None else float(said.join_gap)
        return Asked(layers=layers, join_gap=gap, on_unclosed="ignore")
    return Asked(
        layers=layers,
        containing=None if said.containing is None else _point(said.containing),
        join_gap=JOIN_GAP if said.join_gap is None else float(said.join_gap),
        on_unclosed=said.on_unclosed,
        arcs_within=None if said.arcs_within is None else float(said.arcs_within),
    )


def _point(pair: tuple[float, float]) -> Point:
    return Point(float(pair[0]), float(pair[1]))
