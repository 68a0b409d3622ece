"""E3 codes: shapes, outlines, drawings and models."""

from compiler.diagnostics.codes.model import CodeInfo

SHAPES: dict[str, CodeInfo] = {
    "E301": CodeInfo(
        "a shape or step of no size, or none that a workshop knows",
        "A radius, width, side or step is zero, negative or no number, or points are missing, so "
        "that the shape encloses nothing. Give it a size, or leave the step out. Points nearer "
        "than a millionth of a millimetre count as the same, and nothing may lie more than a "
        "kilometre out, where lengths are no longer exact.",
    ),
    "E302": CodeInfo(
        "a radius too small for its chord",
        "An arc given by its radius joins two points that are farther apart than twice that "
        "radius. No such circle exists. Half the distance between the points is the least radius; "
        "it makes a half circle.",
    ),
    "E303": CodeInfo(
        "a round or chamfer that does not fit",
        "The corner has no room for it: its ends would lie beyond the sides that meet there, or "
        "overlap the round of the next corner, or there is no corner at all since the outline goes "
        "straight on. The help names the largest that fits with everything else as it is.",
    ),
    "E304": CodeInfo(
        "an arc's centre not equally far from its ends",
        "An arc given by its centre must start and end on one circle. The two distances may differ "
        "by 0.005 mm (0.0002 in), which is what rounding to four decimals of an inch needs and "
        "what NISTIR 6556 sec. 3.5.3.2 allows in inch programs; the centre is then moved to suit "
        "both ends.",
    ),
    "E305": CodeInfo(
        "an outline that does not close",
        "A closed outline must come back to its start. Nothing is closed by a guess: the missing "
        "side may be the one that matters. Add the last step.",
    ),
    "E306": CodeInfo(
        "an outline that crosses or touches itself",
        "An outline goes round its area once. One that meets itself leaves open which side is the "
        "part. For two areas give two shapes (`any_of`), for a hole use `minus`.",
    ),
    "E307": CodeInfo(
        "outlines that cross or run along each other",
        "Closed loops of one shape may lie inside one another, as a hole in a plate, or apart. "
        "Where they cross or share an edge it is not clear what is inside. Join them with "
        "`any_of`, or cut one from the other with `minus`.",
    ),
    "E308": CodeInfo(
        "a shape of which nothing is left",
        "What `minus` or a negative `grow` took away is all there was. The result has no area and "
        "can neither stand nor be cut.",
    ),
    "E309": CodeInfo(
        "outlines too close to each other to be told apart",
        "Two outlines run so nearly on each other, over some length, that rounding decides on "
        "which side each of them lies. Move one of them by a hundredth of a millimetre, or draw "
        "the edge that they share only once.",
    ),
}

PART: dict[str, CodeInfo] = {
    "E310": CodeInfo(
        "a keep region outside the stock",
        "No part of the region lies within the stock, so nothing can be left standing there. Often "
        "the drawing and the stock have different origins, or a length has the wrong unit.",
    ),
    "E311": CodeInfo(
        "a keep region that sticks out of the stock",
        "What sticks out cannot be left standing, since no material is there. An edge may lie on "
        "the stock's edge to 0.0025 mm (0.0001 in). For a wall that runs across the stock give an "
        "`open` path; else make the stock larger or the region smaller.",
    ),
    "E312": CodeInfo(
        "a region's top above the stock's",
        "A region is what is left of the stock; it cannot be higher than the stock was.",
    ),
    "E313": CodeInfo(
        "a region's top below where cutting is allowed",
        "What stands above a region's top is removed. A top below the stock's underside, or below "
        "`workholding.lowest_cut`, would take the cutter where it must not go.",
    ),
    "E314": CodeInfo(
        "an open path that does not cross the stock",
        "An open keep region needs a path that comes in over one edge of the stock and leaves over "
        "another, so that it parts what stands from what goes. Both ends are taken straight on "
        "into the air; an end inside the stock, or one whose straight continuation enters the "
        "stock again, leaves open where the wall goes on.",
    ),
    "E316": CodeInfo(
        "a clearance height that is not clear",
        "Rapid moves across run at `heights.clearance`. It must lie above the stock, every region "
        "and every obstacle, or a rapid would run into one of them. The default is 2.5 mm (0.1 in) "
        "above the highest.",
    ),
    "E317": CodeInfo(
        "stock of no size",
        "The stock has no area or no thickness: there is nothing to cut.",
    ),
    "E318": CodeInfo(
        "a lowest cut above the stock",
        "`workholding.lowest_cut` is an absolute Z: nothing is cut below it. At or above the "
        "stock's top it forbids every cut. Often a minus sign is missing.",
    ),
    "E360": CodeInfo(
        "a cut that breaks through a finished floor",
        "An earlier setup cleared the other side down to a floor, and a pass of this setup goes as "
        "deep as that floor, where no keep region of this setup stands over it: it would open into "
        "the hollow. If that is meant, to take off what the part was held by or to cut a window, "
        "the setup says `breaks_through: true`. Walls that were finished are spared all the same.",
    ),
    "E361": CodeInfo(
        "a keep region where no material is left",
        "A keep region of this setup stands where an earlier setup cut the material away, from the "
        "side that is up now or right through. It can't be left standing.",
    ),
    "W313": CodeInfo(
        "a region that no pass reaches down to",
        "The region's top lies below the floor of every pass, so the material above it stays. "
        "Give a pass a deeper `to`, or the region a higher `top`.",
    ),
    "W315": CodeInfo(
        "an obstacle beside a wall",
        "An obstacle lies so near to a keep region that the smallest cutter cannot pass between. "
        "That stretch of the wall stays uncut. A clamp on a region needs this; anything else "
        "should be moved, or lowered below the floor.",
    ),
    "W316": CodeInfo(
        "a low clearance height",
        "Rapid moves across run less than 2.5 mm (0.1 in) above the highest of stock, regions and "
        "obstacles. Chips, a bowed blank or a clamp's bolt may be higher than that.",
    ),
    "W318": CodeInfo(
        "a datum far from the stock",
        "X0 Y0 lies farther from the stock than the stock is long. Nothing is wrong with that in "
        "itself, but most often it is a slip, and the setter has to find the point with the "
        "spindle: the program's numbers are all counted from there.",
    ),
    "W317": CodeInfo(
        "a region of which nothing shows",
        "Another keep region covers it whole and stands as high or higher, so it makes no "
        "difference to the part. With an open region beside it, `stands` most often names the "
        "wrong side: left and right are as seen walking along the path from its start.",
    ),
}

CODES: dict[str, CodeInfo] = {**SHAPES, **PART}
