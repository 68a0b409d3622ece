"""E7 codes: what a drawing or a solid model holds that cannot be used as it is."""

from compiler.diagnostics.codes.model import CodeInfo

CODES: dict[str, CodeInfo] = {
    "E701": CodeInfo(
        "a file is no whole DXF drawing",
        "The file is empty, of another kind, damaged beyond reading, or breaks off before the end "
        "mark that every DXF has. A drawing of which part is missing may lack a hole or a wall "
        "and still look well, so it is refused. Export it again.",
    ),
    "E702": CodeInfo(
        "a drawing is too large",
        "Files, entities (with blocks unfolded), the depth of blocks in blocks and the control "
        "points of a spline are bounded, so that a wrong or hostile drawing cannot hold up the "
        "work. Export only what is to be cut.",
    ),
    "E703": CodeInfo(
        "a drawing does not say its units",
        "A DXF is bare numbers; its header may say what one of them is ($INSUNITS). Where it does "
        "not, the job must: `units: inch` or `units: mm` beside `file`. The help shows how large "
        "the drawing would be in each, which mostly settles it. Nothing is guessed.",
    ),
    "E704": CodeInfo(
        "a layer is not there, or not visible",
        "`layer` and `layers` choose by name, without regard to case, or by patterns with `*` and "
        "`?`. Layers that are frozen or off in the drawing are left out; make them visible there, "
        "or choose others.",
    ),
    "E705": CodeInfo(
        "a drawing has no closed loop",
        "A shape needs an outline that closes. The chosen layers hold none; `measure` shows what "
        "they do hold, where chains are open and how wide the gaps are.",
    ),
    "E706": CodeInfo(
        "line work is open",
        "An end that meets no other within `join_gap` leaves its chain open. It may be a loop "
        "with a gap, which must be closed, or something that is no outline at all, as a centre "
        "line: move that to another layer, or leave such lines out with `on_unclosed: ignore`; "
        "each is then a warning.",
    ),
    "E707": CodeInfo(
        "more than two ends meet",
        "Where three or more lines of closed shapes end in one place there is more than one way "
        "round. Put the shapes on layers of their own, or pick one by a point in it with "
        "`containing`: then the smallest area round that point is taken.",
    ),
    "E708": CodeInfo(
        "loops cross",
        "Two loops that cross, or one that crosses itself, do not say what is inside. Draw them "
        "on layers of their own and join them with `any_of`, or take one off with `minus`.",
    ),
    "E709": CodeInfo(
        "an entity has no sound geometry",
        "A circle of no radius, an ellipse without an axis, a spline whose knots do not agree, a "
        "place that is no number: it is not clear what was meant, so it is neither cut nor "
        "dropped. Mend or delete it in the drawing, or leave its layer out.",
    ),
    "E710": CodeInfo(
        "an entity is not flat",
        "A drawing is read as seen from above. Lines that rise, circles that are tilted, faces and "
        "solids, and references to other files have no outline there that could be trusted. Leave "
        "their layers out, or draw the outline flat.",
    ),
    "E711": CodeInfo(
        "no loop goes round a point",
        "`containing` takes the smallest closed loop round its point. There is none: the point is "
        "in the job's units and the drawing's own coordinates, before any `move`. The help names a "
        "point in the nearest loop.",
    ),
    "E712": CodeInfo(
        "there is not exactly one open chain",
        "An `open` keep region needs one line across the stock. Give it a layer of its own, or "
        "pick one of several by a point near it with `containing`. It is walked from its leftmost "
        "end, the lower one of two that are level; `stands` is the side seen on that way.",
    ),
    "E713": CodeInfo(
        "there is nothing to pick a point from",
        "A datum or a hole was to be picked from the drawing, but the chosen layers hold nothing "
        "of that kind: no full circle, no point entity, no crossing. `measure` lists what each "
        "layer holds.",
    ),
    "E714": CodeInfo(
        "a job file is there already",
        "`draft` writes a new job and does not replace one that is there, which may have been "
        "worked on. Give another name, or say `--force`.",
    ),
    "E720": CodeInfo(
        "the solid kernel is not installed",
        "Solid models are read by a geometry kernel that weighs about 400 MB, so it is an optional "
        "extra: `pip install '.[solid]'`. Everything else works without it.",
    ),
    "E721": CodeInfo(
        "a file is no whole STEP model",
        "The file is empty, of another kind, damaged, without units, or breaks off before the end "
        "mark that every STEP file has (ISO 10303-21). Export it again.",
    ),
    "E722": CodeInfo(
        "a model is too large",
        "The size of a model is bounded, so that a wrong file cannot hold up the work. Export the "
        "part alone, without fixtures and fasteners.",
    ),
    "E723": CodeInfo(
        "a model has no closed solid body",
        "Only a closed body says what is material and what is air. Surfaces, wires, and bodies "
        "with a face missing do not.",
    ),
    "E724": CodeInfo(
        "a model has nothing at a height",
        "The section or silhouette that was asked for lies above or below the model, or in a gap "
        "of it. Heights are those after `up` and `z0` have laid the model on the table.",
    ),
    "E725": CodeInfo(
        "no face can be turned up",
        "`up_face` names a point of the model, and the plane face nearest to it is turned up. The "
        "model has no plane face at all; use `up`.",
    ),
    "E726": CodeInfo(
        "no piece of a section goes round a point",
        "`containing` picks one piece of a model's section. None goes round the point; the help "
        "names the pieces there are.",
    ),
    "E727": CodeInfo(
        "a model gives no sound section",
        "The section that the kernel makes is held against the solid itself, point by point. Here "
        "it does not agree, and does not a few micrometres further on either: near a tangency, or "
        "where the model is damaged. Take another height, or mend the model.",
    ),
    "W701": CodeInfo(
        "a damaged drawing was mended",
        "The file breaks rules of its format and was read by a more patient reader, which lists "
        "what it mended. Compare the picture with the paper before cutting.",
    ),
    "W702": CodeInfo(
        "a drawing and the job name different units",
        "The header of the drawing says one unit and the job another. The job counts, since "
        "headers are often left as they were found; check the overall size.",
    ),
    "W703": CodeInfo(
        "gaps were joined",
        "Ends that did not quite meet were made to, within `join_gap`: where the two lines or "
        "circles meet if that is near, else in the middle. The largest gap is named.",
    ),
    "W704": CodeInfo(
        "line work was drawn twice",
        "Lines or arcs that lie on others were taken once.",
    ),
    "W705": CodeInfo(
        "a silhouette is only near",
        "Where a free surface, or a round one that lies aslant, is undercut, its widest line is at "
        "no one height; the silhouette is put together from sections at seventeen of them and may "
        "fall a little short between. Compare it with the model, or let the region `grow`.",
    ),
    "W706": CodeInfo(
        "open line work was left out",
        "With `on_unclosed: ignore`, or outside the loop that `containing` picks, chains that do "
        "not close are left out. Each is named, so that a broken outline is not overlooked.",
    ),
    "W715": CodeInfo(
        "an open line is no region of a first job",
        "`draft` makes a rail of an open line that runs from edge to edge of the stock, meets no "
        "closed loop, and has all of them on one side: the other side stands. Any other open line "
        "is left out and named, in the job as well, since it may have been meant as something.",
    ),
    "W716": CodeInfo(
        "the crib has no cutter that reaches",
        "`draft` takes its cutters from the shop's crib. Where none of them reaches down to the "
        "floor, it takes end mills of common sizes that would, so that there is a job to go on "
        "from; the shop has to have such ones, or the cut be less deep.",
    ),
    "W717": CodeInfo(
        "how a drawing's outlines were read",
        "A drawing says where lines are, not which side of them is metal. A loop that goes round "
        "all others, with loops on other layers in it, is taken as the blank, and what lies in it "
        "stands; a loop in one that stands, on the same layer, as cut out of it; a loop round "
        "everything on a layer named as title or border as the sheet's frame, which is left out. "
        "Read the other way round the part is scrap, so it is said each time, with the words that "
        "turn it: `--blank LAYER`, or `--blank none`.",
    ),
    "W718": CodeInfo(
        "a hole of a drawing is not drilled",
        "Circles on a layer named as holes or drills are made by a drill of the crib that has "
        "their diameter and is long enough to leave them deeper than the floor. Where there is "
        "none they are left out, neither cut nor left standing as pins.",
    ),
    "W719": CodeInfo(
        "a blank is very thin",
        "Less than a millimetre of stock is seldom milled to a floor; more often a length was "
        "given in other units. Bare numbers on the command line are in inches where the drawing "
        "is, else in mm; a unit may be written with the number.",
    ),
}
