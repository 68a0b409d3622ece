"""The codes of NISTIR 6556 by modal group (sec. 3.4, table 4), and which of them are read here.

G codes are kept as ten times the number, as the report does: 383 is no code, 591 is G59.1.
"""

from compiler.read.model import WHOLE
from compiler.read.refusal import RefusalError

CHIP_BREAKING = 730  # not in the report: some controls have it beside G83
MOTION = frozenset({0, 10, 20, 30, 382, CHIP_BREAKING, 800, *range(810, 900, 10)})
CYCLES = frozenset({CHIP_BREAKING, *range(810, 900, 10)})
DWELL = 40
ONE_SHOT = frozenset({40, 100, 280, 300, 530, 920, 921, 922, 923})
WORK_OFFSETS = {
    540: "G54",
    550: "G55",
    560: "G56",
    570: "G57",
    580: "G58",
    590: "G59",
    591: "G59.1",
    592: "G59.2",
    593: "G59.3",
}
GROUPS: dict[str, frozenset[int]] = {
    "motion": MOTION,
    "plane": frozenset({170, 180, 190}),
    "distance": frozenset({900, 910}),
    "feed mode": frozenset({930, 940}),
    "units": frozenset({200, 210}),
    "cutter compensation": frozenset({400, 410, 420}),
    "length offset": frozenset({430, 490}),
    "cycle return": frozenset({980, 990}),
    "work offset": frozenset(WORK_OFFSETS),
    "path mode": frozenset({610, 611, 640}),
    "one-shot": ONE_SHOT,
}
_GROUP_OF = {code: group for group, codes in GROUPS.items() for code in codes}
M_GROUPS: dict[str, frozenset[int]] = {
    "stopping": frozenset({0, 1, 2, 30, 60}),
    "tool change": frozenset({6}),
    "spindle": frozenset({3, 4, 5}),
    "coolant": frozenset({7, 8, 9}),
    "overrides": frozenset({48, 49}),
}
# In the language, but this reader will not vouch for what follows them.
REFUSED: dict[int, str] = {
    100: "G10 moves the origin of a work offset, so that positions no longer refer to the datum",
    180: "G18 turns arcs into the XZ plane; programs here cut in XY",
    190: "G19 turns arcs into the YZ plane; programs here cut in XY",
    382: "G38.2 probes; where the tool then stands is not in the text",
    840: "G84 taps; this reader does not expand it",
    850: "G85 bores; this reader does not expand it",
    860: "G86 bores and stops the spindle; this reader does not expand it",
    870: "G87 bores from below; this reader does not expand it",
    880: "G88 waits for the operator; this reader does not expand it",
    890: "G89 bores and dwells; this reader does not expand it",
    920: "G92 moves the origin, so that positions no longer refer to the datum",
    921: "G92.1 moves the origin, so that positions no longer refer to the datum",
    922: "G92.2 moves the origin, so that positions no longer refer to the datum",
    923: "G92.3 moves the origin, so that positions no longer refer to the datum",
    930: "G93 gives feeds as inverse time; programs here feed per minute",
}
REFUSED_M: dict[int, str] = {60: "M60 shuttles pallets, and the part with them"}


def whole(letter: str, value: float, *, least: int = 0) -> int:
    """The integer a word means. Raises RefusalError when it is none, or too small."""
    rounded = round(value)
    if abs(value - rounded) > WHOLE:
        raise RefusalError(f"`{letter}{value:g}` must be a whole number")
    if rounded < least:
        raise RefusalError(f"`{letter}{value:g}` is below {least}")
    return rounded


def sorted_out(
    words: tuple[tuple[str, float], ...],
) -> tuple[dict[str, float], dict[str, int], dict[str, int]]:
    """A block's words by letter, and its G and M codes by group. Raises RefusalError."""
    others = dict(words)
    g: dict[str, int] = {}
    m: dict[str, int] = {}
    if others.pop("G", None) is not None:
        g = g_codes([value for letter, value in words if letter == "G"])
    if others.pop("M", None) is not None:
        m = m_codes([value for letter, value in words if letter == "M"])
    return others, g, m


def g_codes(values: list[float]) -> dict[str, int]:
    """The G codes of a block by group. Raises RefusalError for unknown ones and two of a group."""
    found: dict[str, int] = {}
    for value in values:
        code = round(value * 10)
        group = _GROUP_OF.get(code)
        if group is None or abs(value * 10 - code) > WHOLE * 10:
            raise RefusalError(f"`G{value:g}` is no code of the language")
        if group in found:
            raise RefusalError(f"`G{found[group] / 10:g}` and `G{value:g}` exclude each other")
        if code in REFUSED:
            raise RefusalError(REFUSED[code], "leave the code out and write what it stands for")
        found[group] = code
    return found


def m_codes(values: list[float]) -> dict[str, int]:
    """The M codes of a block by group. Raises RefusalError for unknown ones and two of a group."""
    found: dict[str, int] = {}
    for value in values:
        code = whole("M", value)
        group = next((name for name, codes in M_GROUPS.items() if code in codes), None)
        if group is None:
            raise RefusalError(f"`M{code}` is no code of the language")
        if group in found:
            raise RefusalError(f"`M{found[group]}` and `M{code}` exclude each other")
        if code in REFUSED_M:
            raise RefusalError(REFUSED_M[code], "leave the code out")
        found[group] = code
    return found
