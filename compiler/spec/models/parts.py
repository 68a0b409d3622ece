"""Several parts of one job on one table."""

from typing import Annotated, Literal

from pydantic import Field

from compiler.spec.models.base import Model, Pick, Point
from compiler.spec.models.scalars import Count, PositiveLength

WorkOffset = Literal["G54", "G55", "G56", "G57", "G58", "G59"]


class PartsGrid(Model):
    """Rows and columns of parts in one work offset."""

    count: tuple[Count, Count] = Field(description="How many in X and in Y.", examples=[[2, 2]])
    pitch: tuple[PositiveLength, PositiveLength] = Field(
        description="From part to part in X and in Y.", examples=[[5, 3.5]]
    )


class Parts(Model):
    """The same part several times on the table, cut by one program."""

    PICK = (Pick(("grid", "work_offsets"), 1, 1),)

    grid: PartsGrid | None = Field(
        None, description="Parts in rows and columns, all in the datum's work offset."
    )
    work_offsets: Annotated[tuple[WorkOffset, ...], Field(min_length=2, max_length=6)] | None = (
        Field(None, description="A work offset for each part; the first is the datum's.")
    )
    places: Annotated[tuple[Point, ...], Field(min_length=2, max_length=6)] | None = Field(
        None,
        description="With `work_offsets`: where each part's datum lies from the first one's. "
        "Without it the program goes from part to part at the top of the machine's travel.",
    )
    order: Literal["by_tool", "by_part"] | None = Field(
        None,
        description="`by_tool`: each tool does all parts; `by_part`: each part is finished first. "
        "Default: what takes less time.",
    )
