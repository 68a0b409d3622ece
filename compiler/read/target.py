"""Where the axis words of a block lead (NISTIR 6556 sec. 3.5.17): absolute, or from here."""

import math
from collections.abc import Mapping

from compiler.read.far import FARTHEST, check_place
from compiler.read.model import Place
from compiler.read.refusal import RefusalError


def target(words: Mapping[str, float], here: Place, scale: float, *, absolute: bool) -> Place:
    """The place that the words name; axes that none of them names stay. Raises RefusalError.

    `words` are the block's, as written; `scale` is mm per unit of the text.
    """
    x, y, z, home = here.x, here.y, here.z, here.home
    if absolute and not home:  # as nearly every block is
        if "X" in words and abs(x := words["X"] * scale) > FARTHEST:
            check_place("X", x)
        if "Y" in words and abs(y := words["Y"] * scale) > FARTHEST:
            check_place("Y", y)
        if "Z" in words and abs(z := words["Z"] * scale) > FARTHEST:
            check_place("Z", z)
        return Place(x, y, z)
    values: list[float] = []
    for axis, now in (("X", x), ("Y", y), ("Z", z)):
        if axis not in words:
            values.append(now)
            continue
        value = words[axis] * scale
        if not absolute:
            if math.isnan(now):
                raise RefusalError(
                    f"`{axis}` is incremental from a position that the text has not said",
                    "state G90 and give the axis an absolute value first",
                )
            value += now
        check_place(axis, value)
        values.append(value)
        home = home.replace(axis, "")
    return Place(values[0], values[1], values[2], home)
