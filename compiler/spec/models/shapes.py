"""Shapes: outlines of stock, keep regions and obstacles, as authors write them."""

from typing import Annotated, ClassVar, Literal

from pydantic import Discriminator, Field, Tag

from compiler.spec.models.base import Model, Pick, Point
from compiler.spec.models.scalars import (
    Angle,
    Count,
    FilePath,
    Length,
    PositiveLength,
    Room,
    Text,
)


class Circle(Model):
    """A full circle."""

    PICK = (Pick(("radius", "diameter"), 1, 1),)

    centre: Point = Field(description="Its centre, [x, y].", examples=[[1.5, 2]])
    radius: PositiveLength | None = Field(None, description="Its radius; or give `diameter`.")
    diameter: PositiveLength | None = Field(None, description="Its diameter; or give `radius`.")


class Rectangle(Model):
    """An upright rectangle by two of corner, opposite corner, size and centre."""

    PICK = (Pick(("from", "to", "size", "centre"), 2, 2),)

    from_: Point | None = Field(None, alias="from", description="One corner, [x, y].")
    to: Point | None = Field(None, description="The opposite corner, [x, y].")
    size: tuple[PositiveLength, PositiveLength] | None = Field(
        None, description="Width along X and height along Y; from `from` it goes right and up."
    )
    centre: Point | None = Field(None, description="Its centre, [x, y].")
    corner_radius: Room = Field(0.0, description="Radius of all four corners, default 0.")


class Slot(Model):
    """A straight slot with rounded ends."""

    from_: Point = Field(alias="from", description="Centre of one rounded end, [x, y].")
    to: Point = Field(description="Centre of the other rounded end, [x, y].")
    width: PositiveLength = Field(description="Full width; the ends have half of it as radius.")


class Polygon(Model):
    """Straight sides from point to point, closed by itself."""

    points: Annotated[tuple[Point, ...], Field(min_length=3, max_length=2000)] = Field(
        description="Corners in order, at least three; the last joins the first."
    )
    corner_radius: Room = Field(0.0, description="Radius of all corners, default 0.")


class ArcStep(Model):
    """An arc from where the step before ended."""

    PICK = (Pick(("centre", "radius"), 1, 1),)

    to: Point = Field(description="Where it ends, [x, y].")
    centre: Point | None = Field(None, description="Its centre, [x, y]; or give `radius`.")
    radius: PositiveLength | None = Field(
        None, description="Its radius; gives the shorter arc, or the longer with `long: true`."
    )
    turn: Literal["cw", "ccw"] = Field(
        description="Clockwise or counter-clockwise, seen from above."
    )
    long: bool = Field(
        False, strict=True, description="With a radius: the longer of the two arcs, default false."
    )


class Step(Model):
    """One piece of an outline: a straight line or an arc, and the corner at its end."""

    PICK = (Pick(("line", "arc"), 1, 1), Pick(("round", "chamfer"), 0, 1))

    line: Point | None = Field(None, description="A straight line to this point, [x, y].")
    arc: ArcStep | None = Field(None, description="An arc to a point.")
    round: PositiveLength | None = Field(
        None, description="Rounds the corner at this step's end with this radius."
    )
    chamfer: PositiveLength | None = Field(
        None, description="Cuts the corner at this step's end, so far along both sides."
    )


class Path(Model):
    """A start and steps from there."""

    start: Point = Field(description="Where it begins, [x, y].")
    steps: Annotated[tuple[Step, ...], Field(min_length=1, max_length=2000)] = Field(
        description="Lines and arcs in order."
    )


class Drawing(Model):
    """Loops of lines and arcs from a DXF drawing."""

    PICK = (Pick(("layer", "layers"), 0, 1),)

    file: FilePath = Field(description="The drawing, relative to this file.")
    layer: Text | None = Field(
        None, description="The layer to take, by name or as a pattern like `BOSS*`, default all."
    )
    layers: Annotated[tuple[Text, ...], Field(min_length=1, max_length=100)] | None = Field(
        None, description="The layers to take, by name or as patterns like `BOSS*`."
    )
    containing: Point | None = Field(
        None,
        description="Only the loop round this point, [x, y], with the holes in it; "
        "of open chains the nearest.",
    )
    units: Literal["inch", "mm"] | None = Field(
        None, description="The drawing's units where it does not say them itself."
    )
    join_gap: Room | None = Field(
        None, description="Ends nearer than this are joined, default 0.13 mm (0.005 in)."
    )
    arcs_within: PositiveLength | None = Field(
        None,
        description="Runs of short chords within this of an arc become that arc; "
        "default: chords stay as drawn.",
    )
    on_unclosed: Literal["error", "ignore"] = Field(
        "error", description="What an open end means, default error."
    )


class DrawnPoint(Model):
    """A point picked from a DXF drawing."""

    PICK = (
        Pick(("corner", "centre_round", "crossing_near", "point_near"), 1, 1),
        Pick(("layer", "layers"), 0, 1),
    )

    file: FilePath = Field(description="The drawing, relative to this file.")
    layer: Text | None = Field(
        None, description="The layer to look on, by name or as a pattern, default all."
    )
    layers: Annotated[tuple[Text, ...], Field(min_length=1, max_length=100)] | None = Field(
        None, description="The layers to look on, by name or as patterns."
    )
    units: Literal["inch", "mm"] | None = Field(
        None, description="The drawing's units where it does not say them itself."
    )
    join_gap: Room | None = Field(
        None, description="Ends nearer than this are joined, default 0.13 mm (0.005 in)."
    )
    corner: Literal["lower_left", "lower_right", "upper_left", "upper_right", "centre"] | None = (
        Field(None, description="A corner, or the centre, of the box round everything.")
    )
    centre_round: Point | None = Field(
        None, description="The centre of the loop round this point, [x, y]."
    )
    crossing_near: Point | None = Field(
        None, description="The place nearest to this point, [x, y], where two lines or arcs meet."
    )
    point_near: Point | None = Field(
        None, description="The drawing's point entity nearest to this point, [x, y]."
    )


_Zero = Annotated[
    Annotated[Literal["top", "bottom"], Tag("<word>")] | Annotated[Length, Tag("<length>")],
    Discriminator(lambda value: "<word>" if value in ("top", "bottom") else "<length>"),
]


class Section(Model):
    """An outline from a STEP solid: its section at a height, or its silhouette from above."""

    PICK = (Pick(("at_z", "seen_from_top"), 1, 1), Pick(("up", "up_face"), 0, 1))

    file: FilePath = Field(description="The model, relative to this file.")
    at_z: Length | None = Field(
        None,
        description="Z of the section; at the height of a level face, the section just below it.",
    )
    seen_from_top: Literal[True] | None = Field(
        None, description="The silhouette seen along the tool axis."
    )
    down_to: Length | None = Field(
        None, description="Z below which the silhouette takes nothing in; default all."
    )
    containing: Point | None = Field(
        None, description="Only the piece that this point, [x, y], lies in; default all pieces."
    )
    up: Literal["x", "-x", "y", "-y", "z", "-z"] | None = Field(
        None, description="The model's direction that points up, default z."
    )
    up_face: tuple[Length, Length, Length] | None = Field(
        None,
        description="A point [x, y, z] of the model as it was drawn: the level face nearest to it "
        "points up and is Z0.",
    )
    z0: _Zero | None = Field(
        None,
        description="What becomes Z0: `top`, `bottom`, or a height of the model once it lies as "
        "it is cut; default the model's own, or `up_face`.",
    )


class Mirror(Model):
    """A reflection."""

    across: Literal["x", "y"] = Field(
        description="`x` mirrors left to right (across the line X = `at`), `y` top to bottom."
    )
    at: Length = Field(0.0, description="Where the mirror line lies on that axis, default 0.")


class Grid(Model):
    """Rows and columns of copies."""

    count: tuple[Count, Count] = Field(
        description="Copies along X and along Y, the first included."
    )
    pitch: Point = Field(description="Distance from copy to copy along X and along Y.")


class Ring(Model):
    """Copies evenly round a centre, each turned with its place."""

    centre: Point = Field(description="Centre of the ring, [x, y].")
    count: Count = Field(description="How many copies in the full turn.")
    radius: PositiveLength | None = Field(
        None,
        description="Puts the shape's own centre on a circle of this radius; "
        "default: it stays where it is drawn.",
    )
    start_angle: Angle = Field(
        0.0,
        description="Where the first copy stands, degrees from +X counter-clockwise, default 0.",
    )


class Repeat(Model):
    """Copies of a shape."""

    PICK = (Pick(("grid", "ring"), 1, 1),)

    grid: Grid | None = Field(None, description="Rows and columns.")
    ring: Ring | None = Field(None, description="Evenly round a centre.")


SHAPE_KINDS = (
    "circle",
    "rectangle",
    "slot",
    "polygon",
    "outline",
    "drawing",
    "model",
    "any_of",
)


class Shape(Model):
    """An area: exactly one kind of shape, and any modifiers, which work in the order given here."""

    PICK: ClassVar[tuple[Pick, ...]] = (Pick(SHAPE_KINDS, 1, 1),)

    circle: Circle | None = Field(
        None, description="A circle.", examples=[{"centre": [1, 1], "radius": 0.5}]
    )
    rectangle: Rectangle | None = Field(
        None, description="A rectangle.", examples=[{"from": [0, 0], "size": [2, 1]}]
    )
    slot: Slot | None = Field(
        None,
        description="A slot with rounded ends.",
        examples=[{"from": [0, 0], "to": [2, 0], "width": 0.5}],
    )
    polygon: Polygon | None = Field(
        None,
        description="Straight sides from point to point.",
        examples=[{"points": [[0, 0], [2, 0], [1, 1.5]]}],
    )
    outline: Path | None = Field(
        None,
        description="Lines and arcs, closed.",
        examples=[{"start": [0, 0], "steps": [{"line": [1, 0]}, {"line": [1, 1]}]}],
    )
    drawing: Drawing | None = Field(None, description="Closed loops from a DXF drawing.")
    model: Section | None = Field(None, description="A section or silhouette of a STEP solid.")
    any_of: Annotated[tuple["Shape", ...], Field(min_length=1, max_length=500)] | None = Field(
        None, description="The union of several shapes."
    )
    minus: Annotated[tuple["Shape", ...], Field(min_length=1, max_length=500)] | None = Field(
        None, description="Shapes to take away from this one."
    )
    grow: Length | None = Field(
        None, description="Moves the outline outwards by this much; negative shrinks."
    )
    move: Point | None = Field(None, description="Shifts the shape by [dx, dy].")
    turn: Angle | None = Field(
        None,
        description="Turns the shape by degrees, counter-clockwise, about its own centre "
        "or the point `about`.",
    )
    about: Point | None = Field(None, description="The point that `turn` turns about, [x, y].")
    mirror: Mirror | None = Field(None, description="Reflects the shape.")
    repeat: Repeat | None = Field(None, description="Copies the shape; the copies are united.")


class StockOutline(Shape):
    """The blank's outline: any shape, or the bounding box of what is to be cut."""

    PICK = (Pick((*SHAPE_KINDS, "around"), 1, 1),)

    around: Literal["keep_regions", "drawing", "model"] | None = Field(
        None, description="Takes the bounding box of all keep regions, drawings or models."
    )
    margin: Room | None = Field(None, description="With `around`: added on every side, default 0.")


class OpenChain(Model):
    """An open line across the stock; all stock on one side of it stands."""

    PICK = (Pick(("path", "drawing"), 1, 1),)

    path: Path | None = Field(None, description="Lines and arcs from edge to edge of the stock.")
    drawing: Drawing | None = Field(None, description="An open chain from a DXF drawing.")
    stands: Literal["left", "right"] = Field(
        description="Which side stands, seen walking along the chain from its start."
    )


class Allowance(Model):
    """Material left for a later pass."""

    wall: Room | None = Field(None, description="Left on walls; default 0.")
    floor: Room | None = Field(None, description="Left on floors; default 0.")


# where a keep region also has words about it, `about` may be text
_AboutText = Annotated[
    Annotated[Text, Tag("<text>")] | Annotated[Point, Tag("<point>")],
    Discriminator(lambda value: "<text>" if isinstance(value, str) else "<point>"),
]


class KeepRegion(Shape):
    """Something that must be left standing: a shape (or an open chain) and how high it stands."""

    PICK = (Pick((*SHAPE_KINDS, "open"), 1, 1),)

    open: OpenChain | None = Field(
        None, description="An open line across the stock; one side of it stands."
    )
    top: Length | None = Field(
        None, description="Z of its finished upper face; default the stock's top."
    )
    tolerance: PositiveLength | None = Field(
        None,
        description="How far its wall may lie off, either way. A size has two walls: with 0.002 a "
        "boss of 0.9 may measure 0.896 to 0.904 across. It goes on to the first-article list and "
        "decides nothing else.",
    )
    allowance: Allowance | None = Field(
        None, description="Material left on this region, in place of the pass's allowance."
    )
    about: _AboutText | None = Field(  # type: ignore[assignment]
        None, description="Text for the sheet; or the point [x, y] that `turn` turns about."
    )


class Obstacle(Shape):
    """Where tool, shank and holder must never be: a shape, from below up to its top."""

    top: Length = Field(description="Z of its upper end.")
