"""Connected places against a reference library's labelling (scipy.ndimage)."""

from __future__ import annotations

import numpy as np
import pytest

from compiler.simulate import Grid, what_is_left


@pytest.mark.parametrize("seed", range(6))
def test_same_places_as_a_reference_library(seed: int) -> None:
    ndimage = pytest.importorskip("scipy.ndimage")
    rng = np.random.default_rng(seed)
    mask = rng.random((60, 80)) < 0.55
    excess = rng.random(mask.shape).astype(np.float32)
    grid = Grid(0.0, 0.0, 0.5, 80, 60)
    labels, count = ndimage.label(mask)
    found = what_is_left(mask, excess, grid)
    assert len(found) == count
    sizes = np.bincount(labels.ravel())[1:] * 0.25
    assert sorted(p.area for p in found) == pytest.approx(sorted(sizes))
    for place in found:
        (label,) = set(labels[place.rows, place.columns].tolist())
        assert (labels == label).sum() == place.rows.size
        assert place.depth == pytest.approx(excess[labels == label].max())


def test_nothing_left() -> None:
    mask = np.zeros((5, 5), dtype=bool)
    assert what_is_left(mask, mask.astype(np.float32), Grid(0, 0, 1, 5, 5)) == ()
