"""A first job from a survey: text that builds as it stands, with comments on what to check.

It knows sizes and shapes and nothing of what the part is for: stock, material, workholding and
depth are proposals, and say so.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Iterator, Sequence

from compiler.drawing.model import Loop
from compiler.drawing.pick import circle_of
from compiler.geometry import Point
from compiler.survey.drills import LEFT_BELOW, Drilled
from compiler.survey.layer_names import said_by
from compiler.survey.model import (
    Closed,
    CutterRow,
    DrillRow,
    ShapeRow,
    Survey,
    standing_shapes,
)
from compiler.survey.outlines import is_box
from compiler.survey.proposal import BELOW_FLOOR, FLOOR, WALL, Plan
from compiler.survey.rails import OpenLine, sides_alongside
from compiler.survey.words import place
from compiler.units.number import Units, counted, in_units, length, short

LARGEST_PIN = 10.0  # mm: a circle up to this that stands may be a hole (common practice, no source)
MOST_TOLD = 20  # findings that are written into the job
_PLAIN = re.compile(r"[A-Za-z_./-][A-Za-z0-9_./ -]*")


def first_job(
    survey: Survey, plan: Plan, lacks: Sequence[str] = (), warned: Sequence[str] = ()
) -> str:
    """The text of the job file.

    `lacks` and `warned` are what its proof found, in words: errors and warnings. They move no line
    of the job.
    """
    return "\n".join(
        (
            *_head(survey, plan, lacks),
            *_listed(
                "CHECK how the outlines were read: the other way round is scrap", _read_so(survey)
            ),
            "",
            *_stock(survey, plan),
            "",
            *_regions(survey, plan),
            "",
            *_tools(plan),
            "",
            *_passes(plan),
            *_listed("What stands in the way, as `standproud build` says with more detail:", lacks),
            *_listed("CHECK what `standproud build` warns of:", warned),
            "",
        )
    )


def names_of(shapes: Sequence[ShapeRow]) -> list[str]:
    """A name for each: of its layer, or of its level from the top, numbered where it is shared."""
    tops = sorted({row.top for row in shapes if row.top is not None}, reverse=True)
    plain = [
        f"level {tops.index(row.top) + 1}" if row.top is not None else _worded(row.layers)
        for row in shapes
    ]
    shared = Counter(name.casefold() for name in plain)
    seen: Counter[str] = Counter()
    names = []
    for name in plain:
        if shared[name.casefold()] > 1:
            seen[name.casefold()] += 1
            number = seen[name.casefold()]
            name = f"{name[:34]}-{number}"
        names.append(name)
    return names


def _worded(layers: Sequence[str]) -> str:
    # a layer called 0 says nothing
    named = next((name for name in layers if name != "0"), "0" if layers else "")
    word = re.sub(r"[^A-Za-z0-9 _-]+", "-", named).strip("- _").lower()
    return word[:40] if re.match(r"[a-z]", word) else f"shape {word}".strip()[:40]


def _head(survey: Survey, plan: Plan, lacks: Sequence[str]) -> Iterator[str]:
    file = survey.file.rpartition("/")[2]
    if lacks:
        yield f"# A first job from {file}. It does NOT build as it stands: its end says"
        yield "# why. It knows only shapes: go through every line marked CHECK as well."
    else:
        yield f"# A first job from {file}. It builds as it stands, but it"
        yield "# knows only shapes: go through every line marked CHECK before anything is cut."
    yield "spec: job/1"
    yield f"name: {plan.name}"
    yield f"units: {plan.units}"
    if plan.shop:
        yield f"shop: {_quoted(plan.shop)}"
    yield f"machine: {_quoted(plan.machine)}{_check(plan, 'machine', plan.machine_why)}"
    material = (
        "what the stock is of; `standproud schema language` lists the built-in ones at its end"
    )
    yield f"material: {_quoted(plan.material)}{_check(plan, 'material', material)}"


def _listed(head: str, rows: Sequence[str]) -> Iterator[str]:
    if not rows:
        return
    yield ""
    yield f"# {head}"
    yield from (f"# - {row}" for row in rows[:MOST_TOLD])
    if len(rows) > MOST_TOLD:
        yield f"# - and {len(rows) - MOST_TOLD} more"


def _stock(survey: Survey, plan: Plan) -> Iterator[str]:
    x0, y0, x1, y1 = plan.stock
    low = f"[{_n(x0, plan)}, {_n(y0, plan)}]"
    high = f"[{_n(x1, plan)}, {_n(y1, plan)}]"
    yield f"# CHECK the stock: {_stock_said(survey, plan)}"
    yield "stock:"
    if plan.blank is None:
        yield f"  outline: {{rectangle: {{from: {low}, to: {high}}}}}"
    else:
        keys = _drawing_keys(plan, plan.blank.layers, plan.blank.inside)
        keys += ["on_unclosed: ignore"] if survey.runs else []
        yield f"  outline: {{drawing: {{{', '.join(keys)}}}}}"
    reason = "the drawing does not say" if survey.kind == "drawing" else "the model's height"
    yield f"  thickness: {_n(plan.thickness, plan)}{_check(plan, 'thickness', reason)}"
    yield ""
    yield "datum:"
    yield "  at: stock lower_left          # CHECK: how the setter finds it; Z0 is the upper face"
    yield ""
    yield "workholding:"
    yield "  method: Vise or clamps clear of all that is cut          # CHECK"
    yield f"  lowest_cut: {_n(_lowest(plan), plan)}"


def _stock_said(survey: Survey, plan: Plan) -> str:
    """What the stock's outline is made from."""
    drawn = survey.blank
    size = "the overall size"
    if drawn is not None:
        size = f"the loop on {', '.join(drawn.layers)}"
        if plan.blank is None and not is_box(drawn.region.outlines[0]):
            size = f"the box round {size}"
        if plan.margin == 0.0:
            return size
    ends = sorted({side for line in plan.lines for side in line.leaves})
    but = f" but {', '.join(ends)}, where open lines end" if ends else ""
    along = sides_alongside(plan.lines, plan.box) if drawn is None else []
    said = f"{size}, with {_n(plan.margin, plan)} on every side{but}"
    box, x = plan.box, plan.stock
    beyond = {"left": box[0] - x[0], "front": box[1] - x[1], "right": x[2] - box[2]}
    beyond["back"] = x[3] - box[3]
    for side in along:
        if beyond[side] > plan.margin:
            said += f", and {_n(beyond[side], plan)} {side}, where a rail stands"
    return said


def _lowest(plan: Plan) -> float:
    """The lowest that any pass goes, and a little more; the stock's underside is below it."""
    points = [hole.to - hole.drill.tip for hole in plan.drilled if hole.drill is not None]
    return min([plan.floor - BELOW_FLOOR[plan.units], *(z - LEFT_BELOW / 2 for z in points)])


def _read_so(survey: Survey) -> list[str]:
    return [f"{told.what}; {told.otherwise}" for told in survey.told]


def _regions(survey: Survey, plan: Plan) -> Iterator[str]:
    yield "keep_regions:"
    if survey.kind == "drawing":
        yield "  # CHECK the heights: without a `top` each stands up to the stock's upper face"
    shapes = standing_shapes(survey)
    for name, row in zip(names_of(shapes), shapes, strict=True):
        yield from _keep_region(name, row, survey, plan)
    yield from _open_regions(survey, plan)
    for hole in plan.drilled:
        if hole.drill is None:
            yield f"  # CHECK, left out: {undrilled(hole, plan.units)}"
    for note in survey.notes:
        yield f"  # {note}"


def _open_regions(survey: Survey, plan: Plan) -> Iterator[str]:
    rails = [line for line in plan.lines if line.stands is not None]
    for number, line in enumerate(rails, start=1):
        name = "rail" if len(rails) == 1 else f"rail {number}"
        near = line.chain.segments[len(line.chain.segments) // 2].at(0.5)
        keys = _drawing_keys(plan, line.layers, near)
        yield (
            f"  {name}: {{open: {{drawing: {{{', '.join(keys)}}}, stands: {line.stands}}}}}"
            "          # CHECK: the side that stands"
        )
    for line in plan.lines:
        if line.stands is None:
            yield f"  # CHECK, left out: {open_line(line, plan.units)}"


def open_line(line: OpenLine, units: Units) -> str:
    """An open line that is left out, and why."""
    ends = f"{place(line.chain.start, units)} to {place(line.chain.end, units)}"
    return f"the open line from {ends} on {', '.join(line.layers)}: {line.why}"


def undrilled(hole: Drilled, units: Units) -> str:
    """Holes that are left out, and why."""
    what = counted(len(hole.at), "circle")
    size = f"{what} of {length(hole.diameter, units)} on {', '.join(hole.layers)}"
    return f"{size}, at {place(hole.at[0], units)}: a hole to drill, and {hole.why}"


def _drawing_keys(plan: Plan, layers: Sequence[str], near: Point | None) -> list[str]:
    keys = [f"file: {_quoted(plan.file)}"]
    names = ", ".join(_quoted(name) for name in layers)
    keys.append(f"layer: {names}" if len(layers) == 1 else f"layers: [{names}]")
    if near is not None:
        keys.append(f"containing: {place(near, plan.units)}")
    if plan.in_units is not None:
        keys.append(f"units: {plan.in_units}")
    if plan.join_gap is not None:
        keys.append(f"join_gap: {_n(plan.join_gap, plan)}")
    return keys


def _keep_region(name: str, row: ShapeRow, survey: Survey, plan: Plan) -> Iterator[str]:
    shape = _region(survey, plan, row)
    top = "" if row.top is None else f"top: {_n(row.top, plan)}"
    if not row.closed:
        check = _doubt(row, plan) if survey.kind == "drawing" else ""
        yield f"  {name}: {{{shape}{', ' if top else ''}{top}}}{check}"
        return
    # closed a little wider than they are, so that they overlap what is round them
    yield f"  {name}:"
    yield "    any_of:"
    yield f"      - {{{shape}}}"
    for each in row.closed:
        yield _closed(each, plan)
    if top:
        yield f"    {top}"


def _doubt(row: ShapeRow, plan: Plan) -> str:
    """Small circles are questioned: one that stands, unless its layer says so, and one cut out."""
    if row.diameter is not None and row.diameter <= LARGEST_PIN and said_by(row.layers) != "stands":
        size = length(row.diameter, plan.units)
        return f"          # CHECK: a circle of {size}: a hole? then `drill:`"
    holes = [circle_of(Loop(o.reversed(), (), 1)) for o in row.region.outlines if o.area < 0]
    small = sorted(2 * c[1] for c in holes if c is not None and 2 * c[1] <= LARGEST_PIN)
    if not small:
        return ""
    size = length(small[0], plan.units)
    return (
        f"          # CHECK: a circle of {size} in it is milled to the floor: a hole? then `drill:`"
    )


def _closed(each: Closed, plan: Plan) -> str:
    if each.diameter:
        size = _n(each.diameter + 0.05, plan)
        circle = f"circle: {{centre: {place(each.at, plan.units)}, diameter: {size}}}"
        return f"      - {{{circle}}}          # CHECK: a hole to drill"
    corners = ", ".join(place(corner, plan.units) for corner in each.corners)
    return (
        f"      # CHECK, not cut: no cutter gets into the opening at {place(each.at, plan.units)}\n"
        f"      - {{polygon: {{points: [{corners}]}}}}"
    )


def _region(survey: Survey, plan: Plan, row: ShapeRow) -> str:
    inside = place(row.inside, plan.units)
    if row.top is None:
        keys = _drawing_keys(plan, row.with_holes, row.inside)
        if survey.runs:
            keys.append("on_unclosed: ignore")
        return f"drawing: {{{', '.join(keys)}}}"
    keys = [f"file: {_quoted(plan.file)}", "z0: top"]
    if plan.up != "z":
        keys.append(f'up: "{plan.up}"')
    if row.foot is None:
        keys.append(f"at_z: {_n(row.top, plan)}")
    else:
        keys += ["seen_from_top: true", f"down_to: {_n(row.foot, plan)}"]
    keys.append(f"containing: {inside}")
    return f"model: {{{', '.join(keys)}}}"


def _tools(plan: Plan) -> Iterator[str]:
    yield "tools:"
    if plan.crib_falls_short:
        deep = _n(-plan.floor, plan)
        yield f"  # CHECK: no end mill of the crib reaches {deep} deep; these would"
    for number, cutter in enumerate(_cutters(plan), start=1):
        if plan.from_crib:
            yield f"  T{number}: {{crib: {_quoted(cutter.name)}}}"
            continue
        yield (
            f"  T{number}: {{end_mill: {{diameter: {_n(cutter.diameter, plan)}, flutes: 3, "
            f"flute_length: {_n(cutter.flute_length, plan)}, "
            f"stickout: {_n(cutter.flute_length + cutter.diameter, plan)}, material: carbide, "
            "centre_cutting: true}}          # CHECK"
        )
    first = len(_cutters(plan)) + 1
    for number, drill in enumerate(_drills(plan), start=first):
        yield f"  T{number}: {{crib: {_quoted(drill)}}}"


def _cutters(plan: Plan) -> list[CutterRow]:
    return [plan.rough] if plan.rest is None else [plan.rough, plan.rest]


def _drills(plan: Plan) -> list[str]:
    """The crib's drills that the job takes, each once."""
    return list(dict.fromkeys(h.drill.name for h in plan.drilled if h.drill is not None))


def _passes(plan: Plan) -> Iterator[str]:
    wall, floor = _n(WALL[plan.units], plan), _n(FLOOR[plan.units], plan)
    last = "T1" if plan.rest is None else "T2"
    depth = _check(plan, "depth", "how deep it is cut")
    yield f"passes:{depth}"
    yield f"  - rough: {{tool: T1, to: {_n(plan.floor, plan)}, pattern: {plan.patterns[0]},"
    yield f"            radial_depth: 40%, allowance: {{wall: {wall}, floor: {floor}}}}}"
    if plan.rest is not None:
        yield f"  - rest: {{tool: T2, pattern: {plan.patterns[1]}, radial_depth: 40%,"
        yield f"           allowance: {{wall: {wall}, floor: {floor}}}}}"
    yield f"  - finish_floor: {{tool: {last}, pattern: contour_parallel}}"
    yield f"  - finish_walls: {{tool: {last}}}"
    for hole in plan.drilled:
        if hole.drill is not None:
            yield from _drill(hole, hole.drill, plan)


def _drill(hole: Drilled, drill: DrillRow, plan: Plan) -> Iterator[str]:
    number = len(_cutters(plan)) + 1 + _drills(plan).index(drill.name)
    if hole.alone:
        keys = _drawing_keys(plan, hole.layers, None)
        at = f"{{drawing: {{{', '.join([*keys, 'on_unclosed: ignore'])}}}}}"
    else:
        at = f"[{', '.join(place(centre, plan.units) for centre in hole.at)}]"
    to = _n(hole.to, plan)
    cycle = ", cycle: peck" if hole.pecked else ""
    yield "  # CHECK how deep: it ends within the stock; through it is for you to say"
    yield f"  - drill: {{tool: T{number}, at: {at}, to: {to}{cycle}}}"


def _check(plan: Plan, key: str, what: str) -> str:
    return "" if key in plan.said else f"          # CHECK: {what}"


def _n(mm: float, plan: Plan) -> str:
    return short(in_units(mm, plan.units), 4)


def _quoted(text: str) -> str:
    """Text for a flow mapping: plain where that is safe, else in double quotes."""
    return text if _PLAIN.fullmatch(text) else json.dumps(text, ensure_ascii=False)
