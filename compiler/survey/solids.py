"""A solid model surveyed: its level faces, what stands on them, and what is not cut from above."""

from __future__ import annotations

from compiler.diagnostics import Outcome
from compiler.drawing.inner import inner_point
from compiler.drawing.voice import Voice
from compiler.solid.cut import UnsoundError
from compiler.solid.faces import faces_of, levels_of, uncut
from compiler.solid.features import standing
from compiler.solid.model import LEVEL, Face, Feature, Solid
from compiler.solid.section import unsound
from compiler.survey.model import LevelRow, ShapeRow, Survey
from compiler.survey.tight import tight_places
from compiler.units.number import Units, length


def survey_solid(
    solid: Solid, voice: Voice, show: Units, floor: float | None = None
) -> Outcome[Survey]:
    """Everything `measure` tells of a model, cut from above down to a floor.

    `floor` None takes the lowest level face that looks up, else the model's underside. Errors:
    E727 where the kernel fails.
    """
    faces = faces_of(solid)
    down_to = floor_of(solid, faces) if floor is None else floor
    try:
        features = standing(solid, down_to, faces)
    except UnsoundError as error:
        return Outcome(None, (unsound(error, voice),))
    notes = [
        f"{found.count} {found.what}; Z {length(found.low, show)} to {length(found.high, show)}, "
        f"the largest at {voice.place(found.at)}"
        for found in uncut(faces, down_to)
    ]
    below = sum(f.low < down_to - LEVEL and f.facing != "wall" for f in faces)
    if below:
        what = "face lies" if below == 1 else "faces lie"
        notes.append(f"{below} {what} below the floor at Z {length(down_to, show)}")
    surveyed = Survey(
        file=voice.name,
        kind="model",
        format=f"STEP, {solid.bodies} {'body' if solid.bodies == 1 else 'bodies'}",
        units=solid.units,
        said_by="the model",
        show=show,
        box=(solid.box[0], solid.box[1], solid.box[3], solid.box[4]),
        height=(solid.bottom, solid.top),
        levels=tuple(LevelRow(*row) for row in levels_of(faces)),
        shapes=tuple(_shape(feature) for feature in features),
        tight=tight_places([(f.region, f.top) for f in features]),
        notes=tuple(notes),
    )
    return Outcome(surveyed)


def floor_of(solid: Solid, faces: list[Face]) -> float:
    """How deep a model is cut where nobody says: to its lowest face that looks up, unless that is
    its top; then to its underside."""
    ups = [f.low for f in faces if f.facing == "up" and f.low < solid.top - 10 * LEVEL]
    return min(ups, default=solid.bottom)


def _shape(feature: Feature) -> ShapeRow:
    return ShapeRow(
        area=feature.region.area,
        length=sum(o.length for o in feature.region.outlines),
        depth=0,
        inside=inner_point(tuple(feature.region.segments())),
        top=feature.top,
        foot=feature.foot,
        region=feature.region,
    )
