"""E48 codes: choosing a cutter from the crib, and what a material has to say to a pass."""

from compiler.diagnostics.codes.model import CodeInfo

CODES: dict[str, CodeInfo] = {
    "E480": CodeInfo(
        "no cutter of the crib can do a pass",
        "A pass with `tool: auto` takes a cutter of the job's tools or of the shop's crib. Each of "
        "them was looked at: its kind, the width of the gaps it must go into, its reach beside the "
        "walls, its speed on this machine, and the depths that the pass asks for. The notes say "
        "why each one fell out.",
    ),
    "E481": CodeInfo(
        "a tool is called `auto`",
        "`tool: auto` on a pass means that the cutter is chosen from the crib, so no tool can "
        "have that name.",
    ),
    "E482": CodeInfo(
        "a drill can't be chosen",
        "The diameter of a hole is that of its drill. The job says where holes are, not how "
        "wide, so the drill must be named.",
    ),
    "E483": CodeInfo(
        "there is nothing to choose from",
        "A pass says `tool: auto`, but the job names no shop file with a crib and writes out no "
        "tools of its own.",
    ),
    "E484": CodeInfo(
        "a material has no figures for a cutter",
        "Speeds and feeds start from the material's cutting speed and chip load for the stuff that "
        "the cutter is made of: high-speed steel or carbide. A material of the shop's own may give "
        "one of the two only; then only such cutters can be used in it.",
    ),
    "W480": CodeInfo(
        "a further rest pass would save time",
        "With `tool: auto` one cutter does all the roughing where the job has no `rest` pass, so "
        "the narrowest place decides its size. A larger cutter for the open ground and the small "
        "one for the rest would be quicker. Passes are never added unasked: the help has the line "
        "to add.",
    ),
    "W481": CodeInfo(
        "a coolant does not suit the material",
        "Magnesium chips give off hydrogen with water and with water-mixed coolant, and burn; "
        "titanium chips cut dry get hot and can burn (DOE-HDBK-1081-94). The coolant is kept as "
        "the author said. The machine's manual, the material's data sheet, the local fire code and "
        "qualified people come before this tool.",
    ),
}
