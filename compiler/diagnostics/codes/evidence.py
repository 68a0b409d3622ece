"""E5 codes: an obligation that the emitted program does not hold."""

from compiler.diagnostics.codes.model import CodeInfo

CODES: dict[str, CodeInfo] = {
    "E501": CodeInfo(
        "the program text is refused",
        "The program is read back as a control would read it, by the letter of NISTIR 6556. A "
        "block that the report does not allow, or whose meaning is not in the text (parameters, "
        "probing, shifted origins, compensation by an offset that the job does not give), ends the "
        "reading: nothing can be proved of such a program, so it is not written. Blocks of the "
        "shop's own (`opening`, `closing`) are read by the same rules.",
    ),
    "E510": CodeInfo(
        "a keep region is cut (regions_stand)",
        "The exact distance between every move and every keep region is worked out, at the "
        "heights where the region stands. It must never be less than the cutter's radius at that "
        "height, less 0.0025 mm.",
    ),
    "E511": CodeInfo(
        "a cut goes below its floor (floor_kept)",
        "No move may go deeper than the floor of the pass it belongs to, the stock's underside "
        "and `workholding.lowest_cut`.",
    ),
    "E512": CodeInfo(
        "a rapid touches something (rapids_clear)",
        "Rapids must meet neither material (as it stands at that moment) nor keep regions nor "
        "obstacles, along the straight line and along the dog-leg that axes make which run each "
        "at its own rate.",
    ),
    "E513": CodeInfo(
        "a cutter goes into material unsafely (entries_safe)",
        "The first contact must come from air, or by a ramp or helix no steeper than the pass "
        "allows, with a cutter that can do it. Straight down is for drills.",
    ),
    "E514": CodeInfo(
        "the cutter is engaged too far (engagement_held)",
        "Where a pattern promises a limit of the engaged angle, no more than 0.3 % of the cutting "
        "length may pass it at full feed, and by no more than 15 degrees. Whatever the pattern, a "
        "full slot must be cut at the slot feed.",
    ),
    "E515": CodeInfo(
        "a load is more than tool or machine bear (load_held)",
        "Chip load, spindle power, torque and the cutter's bending are worked out from what was "
        "really removed, and held against the material's table, the machine's figures and the "
        "usual limits of deflection. The limits are starting values: the machine's manual and "
        "the maker's data go first.",
    ),
    "E516": CodeInfo(
        "shank or holder meet something (holder_clear)",
        "Shank and holder must clear the stock, keep regions and obstacles, the cutter must clear "
        "obstacles, and the flutes must be as long as the cut is deep.",
    ),
    "E517": CodeInfo(
        "the machine cannot do it (machine_fits)",
        "A position, feed or spindle speed is outside what the shop says of the machine.",
    ),
    "E518": CodeInfo(
        "material stays that could be cleared (nothing_left)",
        "After the last pass more stays than the allowances ask, in a place that the smallest "
        "cutter used there can reach. Places that it can't reach are listed in the report with "
        "the largest cutter that would clear them.",
    ),
    "E519": CodeInfo(
        "the program is not safe to run as it stands (program_sane)",
        "Spindle on before contact; tool, length offset and every modal state stated after each "
        "tool change; an end with the tool up, spindle and coolant off.",
    ),
    "E520": CodeInfo(
        "the text does not say what was planned (text_true)",
        "The motions read back differ from the planned ones by more than half the last decimal, "
        "or in kind, sense, feed or number.",
    ),
    "E560": CodeInfo(
        "there is no prove-out program",
        "`build --prove-out` writes a second program to try the job with. Raised, no tool may come "
        "lower than the highest of stock, regions and obstacles; slowed, it must hold what the "
        "real one holds; both must fit the machine. As it can't, nothing is written.",
    ),
    "E561": CodeInfo(
        "a program that is to cut air comes down among things",
        "With `verify --in-air` every tip must stay above stock, regions and obstacles; shank and "
        "holder are above the tip. A control runs such a program with the part in place.",
    ),
    "W560": CodeInfo(
        "a prove-out program can't be told by its text",
        "The program to try a job with is marked by its first comments. The machine's control "
        "takes none, so only the file's name and the sheet tell it from the one that cuts.",
    ),
    "W518": CodeInfo(
        "places stay uncut (nothing_left)",
        "The program is proven, but the part is not as drawn: in corners, necks and beside "
        "obstacles material stays that no cutter of the job reaches. Each place is told with its "
        "height and the largest cutter that comes in. Add a `rest` pass with such a cutter, and "
        "finish the walls with it, move what holds the part, or leave it where it may stand.",
    ),
    "W520": CodeInfo(
        "the text is not the planned one (text_true)",
        "`verify` was given a program that says something else than what would be planned for the "
        "job: it was edited, or made elsewhere. That is no fault in itself; every other obligation "
        "is judged on the text as it stands, and they tell whether it may run. The place given is "
        "the first difference. With --as-planned it counts as a fault.",
    ),
}
