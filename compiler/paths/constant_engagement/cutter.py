"""What stays the same all through one clearing: the cutter and how finely it is reckoned with."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Cutter:
    """What stays the same all through an operation."""

    radius: float
    limit: float  # engaged angle, rad
    tolerance: float
    backwards: bool  # conventional: the open side on the right
    step: float  # straight step at the limit
    lead: float  # run on and run off inside open area

    @property
    def chord(self) -> float:
        """Chord error of the polygons that decide how far to go; their corners are exact."""
        return 4 * self.tolerance

    @property
    def film(self) -> float:
        """Thickness that is no work: what chords may leave on a wall."""
        return 3 * self.tolerance

    @property
    def smooth(self) -> float:
        """How far a smoothed path may leave the run it was made from, away from walls."""
        return self.radius / 60

    @property
    def narrowest(self) -> float:
        """The smallest path radius of the ladder."""
        return self.radius / 24

    @property
    def widest(self) -> float:
        """The largest path radius of the ladder."""
        return 32 * self.radius
