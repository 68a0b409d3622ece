"""How much of its rim a flat cutter has in the material, and how thick its chip then is.

Lengths in any one unit, angles in radians. Every function but the chip ones gives the engaged
angle: of the rim's arc that is in material, seen from the cutter's centre. The relations are plane
geometry (chords and the law of cosines); the straight wall's also stands in El-Hofy, Fundamentals
of Machining Processes, 2nd ed. 2014, sec. 6.3.1.4, and the chip's in Martellotti, Trans. ASME 63
(1941) 677-700 (from memory).

>>> round(math.degrees(straight_wall(5.0, 2.5)), 6)
60.0
"""

import math

FULL = math.pi  # a slot: half the rim is in material, no cutter can have more in steady travel


def straight_wall(radius: float, radial_depth: float) -> float:
    """Engaged angle along a straight wall: cos(phi) = 1 - ae/r.

    `radial_depth` beyond the diameter counts as a full slot.
    """
    return _angle(1 - radial_depth / radius)


def in_hole(radius: float, radial_depth: float, hole_radius: float) -> float:
    """Engaged angle when a hole is enlarged to `hole_radius` by `radial_depth` in a ring pass.

    More than along a straight wall of the same radial depth. Raises ValueError where the cutter
    does not fit in the hole.
    """
    if hole_radius <= radius:
        raise ValueError("the cutter does not fit in the hole")
    reach = 2 * radius * (hole_radius - radius)
    return _angle(1 - radial_depth * (2 * hole_radius - radial_depth) / reach)


def round_boss(radius: float, radial_depth: float, boss_radius: float) -> float:
    """Engaged angle when a boss is cut down to `boss_radius` by `radial_depth` in a ring pass.

    Less than along a straight wall of the same radial depth.
    """
    reach = 2 * radius * (boss_radius + radius)
    return _angle(1 - radial_depth * (2 * boss_radius + radial_depth) / reach)


def at_corner(radius: float, step: float, corner: float) -> float:
    """Engaged angle at the moment a row of contour-parallel passes reaches a sharp inside corner.

    `corner` is the angle between the walls. arccos(1 - s/r) + (pi - corner), up to a full slot,
    which is reached at s = r (1 - cos(corner)).
    """
    return min(FULL, straight_wall(radius, step) + math.pi - corner)


def step_for(limit: float, radius: float, path_radius: float = math.inf) -> float:
    """The largest step that keeps the engaged angle within `limit`.

    `path_radius` is that of the cutter centre's own path, bulging towards the material (as in a
    hole that is enlarged); infinite for a straight one. The inverse of `straight_wall` and
    `in_hole`.
    """
    if math.isinf(path_radius):
        return radius * (1 - math.cos(limit))
    outer = path_radius + radius
    return outer - math.sqrt(outer**2 - 2 * radius * path_radius * (1 - math.cos(limit)))


def radial_depth_at(engagement: float, radius: float) -> float:
    """The radial depth along a straight wall that gives this engaged angle."""
    return radius * (1 - math.cos(engagement))


def thickest_chip(feed_per_tooth: float, engagement: float) -> float:
    """Largest chip thickness: fz sin(phi) below half immersion, fz from there on."""
    return feed_per_tooth * math.sin(min(engagement, math.pi / 2))


def mean_chip(feed_per_tooth: float, engagement: float) -> float:
    """Chip thickness averaged over the engaged arc: fz (1 - cos(phi)) / phi; 0 in air."""
    if engagement <= 0:
        return 0.0
    return feed_per_tooth * (1 - math.cos(engagement)) / engagement


def thinning_factor(engagement: float) -> float:
    """By how much to raise the feed for the thickest chip to be the one asked for: 1/sin(phi).

    1 from half immersion on. Unbounded for light cuts: the caller caps it. Raises ValueError for
    no engagement at all.
    """
    if engagement <= 0:
        raise ValueError("a cutter in air makes no chip")
    return 1 / math.sin(min(engagement, math.pi / 2))


def _angle(cosine: float) -> float:
    """The engaged angle of that cosine; a cutter buried deeper is in a full slot."""
    return math.acos(max(-1.0, min(1.0, cosine)))
