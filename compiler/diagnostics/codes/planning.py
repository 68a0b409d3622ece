"""E4 codes: what the planner can't do with the tools and stock it was given."""

from compiler.diagnostics.codes.model import CodeInfo

CODES: dict[str, CodeInfo] = {
    "E401": CodeInfo(
        "nothing says how deep a pass cuts",
        "A pass without `to` cuts down to the deepest floor of the passes before it. The first "
        "clearing pass has none before it, so it must say its own: `to` is the Z of the floor, "
        "negative below a stock whose top is at 0.",
    ),
    "E402": CodeInfo(
        "a pass ends above where it starts",
        "Z is up and a pass cuts downwards: its `to` must lie below its `from`, which is the "
        "stock's upper face unless a face pass before it or the key says otherwise. A lost minus "
        "sign is the usual cause.",
    ),
    "E403": CodeInfo(
        "a floor lies too low",
        "Nothing may be cut below the underside of the stock, nor below "
        "`workholding.lowest_cut`, under which jaws, parallels or the table wait. Raise the "
        "floor, or hold the stock so that it may be cut lower and say so in the spec.",
    ),
    "E404": CodeInfo(
        "a tool is of the wrong kind for its pass",
        "Clearing and finishing floors need a flat end (`end_mill`, or `bull_mill`, whose corners "
        "leave a fillet at the foot of walls); walls also take a `ball_mill`, which leaves its own "
        "radius there; `face` also takes a `face_mill`; `drill` takes a drill and "
        "`break_edges` a chamfer mill.",
    ),
    "E405": CodeInfo(
        "an axial depth is more than the flutes",
        "Above the flutes there is only shank, which rubs and doesn't cut. Take less depth at a "
        "time (the levels are then split evenly), or a tool with longer flutes.",
    ),
    "E406": CodeInfo(
        "a cutter is too large for every gap",
        "The pass reaches nothing at its floor: between the regions that stand, grown by the "
        "allowance on walls, no place is as wide as the cutter. The message says how wide the "
        "widest place is and where; the cutter must be thinner than that.",
    ),
    "E407": CodeInfo(
        "a face pass would cut a keep region",
        "`face` takes the whole upper face down, so no keep region may stand higher than its "
        "`to`. A region without `top` stands up to the stock's top: give it the finished height.",
    ),
    "E408": CodeInfo(
        "there is no way down for the cutter",
        "A cutter goes down in air beside the stock, in a place that was cleared before, or by a "
        "helix or ramp. A place that is closed all round and too tight for a helix of this cutter "
        "leaves none of these. A smaller cutter, or a hole drilled first, opens the place.",
    ),
    "E409": CodeInfo(
        "a radial depth leaves ridges",
        "Rows further apart than the flat of the cutter is wide leave material standing between "
        "them. At most the diameter, less twice the corner radius of a bull-nosed cutter; 40 % of "
        "the diameter is a usual start.",
    ),
    "E410": CodeInfo(
        "a given speed or feed is beyond what machine or cutter bear",
        "What the author gives under `cutting` is kept, but checked against the machine's speed, "
        "power and feeds and the cutter's bending. The help says what would be borne.",
    ),
    "E413": CodeInfo(
        "an edge is wider than the tool can break",
        "The cone of a chamfer mill is as wide as its diameter, its tip hangs a little below the "
        "chamfer, and the wall under the edge must be higher than that. The help gives the widest "
        "edge that all this leaves.",
    ),
    "E414": CodeInfo(
        "a drill pass has no place to drill",
        "`at` lists the centres of the holes, in the drawing's coordinates.",
    ),
    "E415": CodeInfo(
        "what is to be cleared is longer than the machine travels",
        "Roughing and facing go over all of the stock that is not left at its full height, to "
        "within a radius of its edges; in Z the tool goes from clearance to the lowest floor. That "
        "is longer than the machine's axis. Most often the job's `units` are not those of its "
        "numbers.",
    ),
    "E416": CodeInfo(
        "more path than is planned at once",
        "A pass would need a path of more than 40,000 cutter diameters. Planning and proving take "
        "time with that length: minutes at the bound, days far beyond it, and as long at the "
        "machine. Most often a number is off: millimetres given as inches, a radial depth of a "
        "hundredth of what was meant, a tiny cutter where only corners need one. Rough with a "
        "larger cutter and let a `rest` pass take what it leaves. Where the length is meant, "
        "`effort: 4` in the job allows four times as much, up to 1000.",
    ),
    "E461": CodeInfo(
        "a wear range is wider than wear",
        "With `compensation: control` the program runs the path of the centre of the tool as it "
        "is given, and the control may shift it by a wear offset whose nominal value is 0. The "
        "range is for wear and bending, up to a tenth of the cutter's radius; a cutter of another "
        "diameter needs another program.",
    ),
    "E462": CodeInfo(
        "two tools read one wear offset",
        "Each cutter wears for itself, so each needs a D number of its own: the tool's "
        "`diameter_offset`, by default its number.",
    ),
    "E463": CodeInfo(
        "there is no room to switch compensation on",
        "G41 and G42 begin on a straight move that is longer than the wear range, followed by an "
        "arc on to the wall that is wider than it; off again likewise. Both need cleared area "
        "beside the wall, at its depth. Without `compensation` the wall needs neither.",
    ),
    "E465": CodeInfo(
        "a drill's point comes out below what may be cut",
        "`to` is where the hole has its full width; the point goes on below it by the height of "
        "its cone. Drilled through, it needs room under the stock: `workholding.lowest_cut` below "
        "the underside says that there is some, and how much.",
    ),
    "E450": CodeInfo(
        "a whole place would stay uncut",
        "A hole, a pocket or a gap between regions is to be cleared, and no clearing pass has a "
        "cutter that goes in: the part would lack it altogether, or a finishing pass would have "
        "to rough it. Add a `rest` pass with a cutter that fits, or say in the spec that the place "
        "may stay, by joining the regions beside it. Corners and necks of a place that is entered "
        "are another matter: what stays there is named in the evidence with its area and the "
        "cutter that would clear it, and the job is built.",
    ),
    "W450": CodeInfo(
        "a pass finds nothing to cut",
        "The passes before it left nothing that its cutter reaches at its heights. It is left out "
        "of the program. A finishing pass needs an allowance left by the pass before it; a `rest` "
        "pass needs corners or gaps that its larger forerunner could not enter.",
    ),
    "W451": CodeInfo(
        "places that no cutter of the job reaches",
        "In necks between regions and in inner corners the smallest cutter that goes down there "
        "does not reach the wall, so material stays as high as the floor is deep. `check` tells "
        "it by the shapes; `check --prove` and `build` tell it on the program (W518), with what "
        "each place needs. Add a `rest` pass with a smaller cutter, and finish the walls with it.",
    ),
    "W401": CodeInfo(
        "a gap is too narrow for any cutter",
        "A piece of the area to clear is less than 0.5 mm wide, so it stays as it is whatever the "
        "passes. Say in the spec that it may stay by joining the regions beside it.",
    ),
    "W402": CodeInfo(
        "`regions` has no effect on a pass",
        "`regions` chooses walls to finish and edges to break. Clearing passes spare every region "
        "and clear all that lies between.",
    ),
    "W403": CodeInfo(
        "a given speed or feed is out of the usual range",
        "What the author gives under `cutting` is kept. It lies outside the range that the "
        "material's table of starting values gives for such a cutter.",
    ),
    "W404": CodeInfo(
        "a tool reaches far out of its holder",
        "Bending grows with the cube of the free length. Feeds are lowered for a long reach, but "
        "a shorter grip or a thicker cutter is the better remedy.",
    ),
    "W406": CodeInfo(
        "an edge can't be broken all along",
        "Where something else stands or uncut material remains so near that the cone would touch "
        "it, the edge is left sharp.",
    ),
    "W461": CodeInfo(
        "a wear range without compensation",
        "`wear_range` says how far the control's wear offset may be set. Without "
        "`compensation: control` the program reads no such offset.",
    ),
    "W407": CodeInfo(
        "finishing stands before roughing",
        "Passes are cut in the order in which they stand. A rest or finishing pass without any "
        "roughing before it, or before the roughing that goes as deep, goes through full material: "
        "the load is lowered to what the cutter bears, but it finishes nothing, and the roughing "
        "after it finds nothing left.",
    ),
}
