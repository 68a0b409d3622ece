"""Every word must have a use in its block, axis words only one (NISTIR 6556 sec. 3.3 to 3.5)."""

from compiler.read.groups import CHIP_BREAKING, CYCLES, DWELL
from compiler.read.model import State
from compiler.read.refusal import RefusalError

_ROTARY = "ABC"
_OFF_FIRST = "switch the compensation off by G40 first"
_ALWAYS = frozenset("FSTXYZ")  # the block itself uses these, axis words below
_OF_ARCS = _ALWAYS | frozenset("IJ")
_AXES = frozenset("XYZ")
_PLAIN_MOTIONS = (0, 10, 20, 30)


def check_users(words: dict[str, float], g: dict[str, int], state: State) -> None:
    """Refuses words that nothing in the block uses, and axis words with two users."""
    if not g or (len(g) == 1 and g.get("motion") in _PLAIN_MOTIONS):
        if words.keys() <= _ALWAYS:
            return
        is_arc = g.get("motion") in (20, 30) if g else state.motion in ("G2", "G3")
        if is_arc and words.keys() <= _OF_ARCS and words.keys() & _AXES:
            return
    one_shot = g.get("one-shot")
    motion = g.get("motion", int(state.motion[1:]) * 10)
    axes = any(axis in words for axis in "XYZ")
    for axis in _ROTARY:
        if axis in words:
            raise RefusalError(f"`{axis}` turns a rotary axis; this reader knows X, Y and Z")
    if one_shot in (280, 300) and "motion" in g and axes:
        raise RefusalError("G28 and the motion both claim the axis words")
    if g.get("motion") == 800 and axes and one_shot is None:
        raise RefusalError("axis words stand with G80, which moves nothing")
    arc = motion in (20, 30) and (axes or "motion" in g) and one_shot is None
    cycle = motion in CYCLES and axes and one_shot is None
    if words.keys() <= _ALWAYS:
        return
    users: dict[str, bool] = {
        "D": g.get("cutter compensation") in (410, 420),
        "H": g.get("length offset") == 430,
        "I": arc,
        "J": arc,
        "K": arc,
        "L": cycle,
        "P": one_shot == DWELL or (cycle and motion == 820),
        "Q": cycle and motion in (CHIP_BREAKING, 830),
        "R": arc or cycle,
    }
    for letter, used in users.items():
        if letter in words and not used:
            raise RefusalError(f"nothing in the block uses `{letter}`")


def dwell_by_x(words: dict[str, float]) -> dict[str, float]:
    """The words of a G4 that says its seconds by `X`, as if it said them by `P`."""
    if "P" in words:
        raise RefusalError("G4 takes `X` for its seconds here, not `P`")
    return {"P" if letter == "X" else letter: value for letter, value in words.items()}


def refuse_under_compensation(g: dict[str, int], m: dict[str, int]) -> None:
    """What may not be said while G41 or G42 is on (NISTIR 6556 sec. 3.5.10, appendix A); a tool
    change too, which the report lets pass with the old tool's offset still in use.
    """
    told = g.get("cutter compensation")
    for group, what in (
        ("units", "the units change"),
        ("work offset", "the work offset changes"),
    ):
        if group in g:
            raise RefusalError(f"{what} while the control compensates", _OFF_FIRST)
    if told in (410, 420):
        raise RefusalError("compensation is switched on while it is on", _OFF_FIRST)
    if told == 400:
        return
    if g.get("one-shot") in (280, 300, 530):
        raise RefusalError("a way home stands while the control compensates", _OFF_FIRST)
    if g.get("motion") in CYCLES:
        raise RefusalError("a cycle stands while the control compensates", _OFF_FIRST)
    if "tool change" in m:
        raise RefusalError("the tool changes while the control compensates", _OFF_FIRST)
