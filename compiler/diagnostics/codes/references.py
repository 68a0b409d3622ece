"""E2 codes: names that point nowhere, and keys that do not go together."""

from compiler.diagnostics.codes.model import CodeInfo

CODES: dict[str, CodeInfo] = {
    "E201": CodeInfo(
        "an unknown tool",
        "A pass names a tool that the job does not have. Tools are named under `tools`; cutters "
        "of the shop's crib must be listed there first, as `T1: {crib: em_500_3fl}`.",
    ),
    "E202": CodeInfo(
        "an unknown keep region",
        "A pass or the datum names a keep region that the job does not have. Names count letter "
        "by letter, spaces included.",
    ),
    "E203": CodeInfo(
        "an unknown machine",
        "The machine is neither in the shop file nor one of the built-in kinds, and not written "
        "out in the job.",
    ),
    "E204": CodeInfo(
        "an unknown material",
        "The material is neither in the shop file nor a built-in one, and not written out in the "
        "job. Cutting data are never guessed from a name that is merely like one.",
    ),
    "E205": CodeInfo(
        "an unknown cutter",
        "A tool is taken from the shop's crib by a name that the crib does not have, or the job "
        "names no shop file.",
    ),
    "E206": CodeInfo(
        "not an earlier pass",
        "`after` names the passes whose leavings a rest pass clears, and those must come before "
        "it. A pass without a `name` is called by its kind and number, as `rough 1`.",
    ),
    "E207": CodeInfo(
        "a tool number given twice",
        "Two tools have the same T number, so the program would call one where the other was "
        "meant. A number is the one given; else from the tool's name, as T3; else the crib's; "
        "else the lowest that is free.",
    ),
    "E208": CodeInfo(
        "a pass name given twice",
        "Passes are pointed at by name, from `after` and from overrides, so no two may share one.",
    ),
    "E209": CodeInfo(
        "a key that does nothing here",
        "The key is right in itself but has no meaning beside the others: modifiers of closed "
        "shapes on an open path, or a `margin` where there is nothing to go round.",
    ),
    "E260": CodeInfo(
        "a setup name given twice",
        "A setup's name is part of the names of its files, as `NAME.SETUP.nc`, so no two setups of "
        "a job may share one. Capitals and small letters are not told apart: some file systems "
        "do not.",
    ),
    "E261": CodeInfo(
        "a first setup that is turned",
        "`turned`, `quarter_turns` and `top` say how a setup lies compared with the one before it. "
        "The first has none before it: it is as the drawing and `stock` have it.",
    ),
    "E262": CodeInfo(
        "a tool that is not at hand in the setup",
        "The setup lists in `tools` which of the job's tools are in its machine, and a pass of it "
        "uses another one.",
    ),
    "E263": CodeInfo(
        "a key that belongs into the setups",
        "A job with `setups` has a datum, a workholding and heights of its own in each of them. "
        "Beside `setups` they would be nobody's.",
    ),
    "E264": CodeInfo(
        "parts and setups together",
        "A job cuts several parts on one table, or one part in several setups. Both at once is not "
        "worked out yet.",
    ),
    "E265": CodeInfo(
        "parts that do not add up",
        "A table of parts has 2 to 64 of them: in a grid by count and pitch, which says every "
        "place, or one in each work offset, each named once and the first that of the datum. "
        "`places` gives one place for each work offset.",
    ),
    "E266": CodeInfo(
        "parts too near to each other",
        "The blanks overlap, or leave so little between them that the widest cutter that goes "
        "round them does not fit. Every part is cut along the same path, so the least room counts.",
    ),
    "E268": CodeInfo(
        "which setup is not said",
        "A job of several setups has a program for each. What is done with one program must say "
        "which, with `--setup NAME`: run in another setup it would cut the wrong side.",
    ),
    "E269": CodeInfo(
        "an unknown setup",
        "`--setup` names a setup that the job does not have, or the job has no setups at all.",
    ),
    "E214": CodeInfo(
        "an open region has no centre",
        "The datum can be the centre of a closed keep region's bounding box. An open one ends "
        "where the stock does and has no centre of its own.",
    ),
    "E215": CodeInfo(
        "nothing to go round",
        "The stock was to be the bounding box of all closed keep regions, but there is none.",
    ),
    "E216": CodeInfo(
        "too many copies",
        "`repeat` makes at most a thousand copies of a shape, more than any plate has bosses.",
    ),
    "W201": CodeInfo(
        "a tool that no pass uses",
        "The tool is listed and no pass cuts with it. It would be on the setup sheet, and someone "
        "would set it for nothing.",
    ),
}
