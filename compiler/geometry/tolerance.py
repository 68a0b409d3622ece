"""How near is the same place. All in millimetres."""

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
