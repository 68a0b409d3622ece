"""How near is the same place. All in millimetres.

The rule for places of doubt, the same wherever they lie within a kilometre of the origin
(`tests/geometry/test_geometry_numbers.py` holds it):

edges that coincide, or gaps up to TOUCH     one area: what was between is closed
gaps of ten times TOUCH and more             two areas, and a gap, however narrow
areas that touch in a point or a tangent     two areas: no material joins them there
what is taken off along a shared edge        nothing is left of the edge, nothing is lost beside it
arcs whose centre lies farther out than FAR  refused where typed; of a drawing straight chords
                                             within its tolerance

In between rounding decides, to either of the two; it does so by the places alone, so that the same
input gives the same output on every machine.
"""

TOUCH = 1e-7
"""Two curves this near meet; two ends this near are one."""

ON_ARC = 0.005
"""How far the ends of a written arc may differ in distance from its centre.

NISTIR 6556 sec. 3.5.3.2 refuses 0.0002 inch (0.00508 mm) and more for inch programs; a job written
with four inch decimals needs as much.
"""

CLOSED = 1e-6
"""An outline whose end is this near its start is closed."""

FAR = 1e6
"""No coordinate lies farther out, mm: a kilometre. There, rounding still is far below `TOUCH`."""
