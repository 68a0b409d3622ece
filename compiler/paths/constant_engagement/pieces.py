"""The connected pieces of an area that is kept in tiles, joined over their seams.

Only those pieces are joined anew that reach into a tile that is other than it was.
"""

from __future__ import annotations

import shapely
from shapely import Polygon

from compiler.paths.constant_engagement.ground import Tiles
from compiler.paths.task import Area

Cell = tuple[int, int]


class Pieces:
    """The pieces of what the tiles hold, as often as asked for."""

    def __init__(self, tiles: Tiles) -> None:
        self._tiles = tiles
        self._seen: dict[Cell, Area] = {}
        self._pieces: list[tuple[Polygon, frozenset[Cell]]] = []

    def all(self) -> list[Polygon]:
        """The pieces as they are now."""
        cells, seen = self._tiles.cells, self._seen
        other = {at for at in {*cells, *seen} if cells.get(at) is not seen.get(at)}
        if other:
            kept = self._pieces
            while True:
                touched = [where for _, where in kept if where & other]
                if not touched:
                    break
                kept = [(piece, where) for piece, where in kept if not where & other]
                other = other.union(*touched)
            self._pieces = kept + self._joined(sorted(at for at in other if at in cells))
            self._seen = dict(cells)
        return [piece for piece, _ in self._pieces]

    def _joined(self, tiles: list[Cell]) -> list[tuple[Polygon, frozenset[Cell]]]:
        """The pieces within some tiles, and the tiles that each reaches into."""
        cells = [self._tiles.cells[at] for at in tiles]
        pieces = shapely.get_parts(shapely.orient_polygons(shapely.union_all(cells)))
        parts, tile = shapely.get_parts(cells, return_index=True)
        inside = shapely.point_on_surface(parts)
        part, piece = shapely.STRtree(pieces).query(inside, predicate="intersects")
        reached: list[set[Cell]] = [set() for _ in pieces]
        for p, i in zip(piece.tolist(), tile[part].tolist(), strict=True):
            reached[p].add(tiles[i])
        return [(p, frozenset(where)) for p, where in zip(pieces, reached, strict=True)]
