"""A job whose open passes are given cutters: the same value as if the job had named them."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from compiler.job.model import Job, Pass, Tool
from compiler.spec.digest import digest_of

LONGEST = 40  # characters of a tool's name, as the language has it


def shelf(job: Job) -> tuple[Tool, ...]:
    """Every cutter there is to choose from, under the name and number it would have in the job.

    The job's own come first and keep theirs. Those of the crib keep the crib's number where it is
    free; the others are numbered when they are taken.
    """
    taken = {tool.name for tool in job.tools}
    found = list(job.tools)
    for tool in job.crib:
        name = _free_name(tool.name, taken)
        taken.add(name)
        found.append(replace(tool, name=name))
    return tuple(found)


def carried(job: Job, before: Sequence[Job]) -> Job:
    """The job of a later setup, with the cutters of the setups before it among its own tools: what
    was chosen there keeps its name and number here.
    """
    tools = {tool.name: tool for tool in job.tools}
    for earlier in before:
        for tool in earlier.tools:
            tools.setdefault(tool.name, tool)
    named = {tool.crib for tool in tools.values()}
    return replace(
        job,
        tools=tuple(tools.values()),
        crib=tuple(tool for tool in job.crib if tool.crib not in named),
    )


def roomy(job: Job) -> Job:
    """The job with all of these among its tools: a part made from it has room for any of them."""
    return replace(job, tools=shelf(job))


def with_tools(job: Job, cutters: Mapping[str, Tool]) -> Job:
    """The job with a cutter for each open pass, by the pass's name. Tools without use fall away.

    A cutter without a number of its own takes the lowest that is free, in order of first use. The
    digest is that of the job as if it had named them; a setup of several keeps the one that all
    share, since the later ones are chosen after its program is written.
    """
    named = {asked.tool for asked in job.passes if not asked.is_open}
    kept = [tool for tool in job.tools if tool.name in named]
    for asked in job.open_passes:
        tool = cutters[asked.name]
        if tool.name not in {each.name for each in kept}:
            kept.append(_numbered(tool, kept, job.tools))
    named_job = replace(
        job,
        tools=tuple(sorted(kept, key=lambda tool: (tool.number, tool.name))),
        passes=tuple(
            _filled(asked, cutters[asked.name]) if asked.is_open else asked for asked in job.passes
        ),
        crib=tuple(tool for tool in job.crib if tool.crib not in {each.crib for each in kept}),
    )
    return named_job if job.setup else replace(named_job, digest=digest_of(named_job))


def _filled(asked: Pass, tool: Tool) -> Pass:
    """The pass with its cutter; a percentage of the diameter becomes a length."""
    depth = asked.radial_depth
    if asked.radial_share is not None:
        depth = asked.radial_share * tool.diameter
    return replace(asked, tool=tool.name, radial_depth=depth, radial_share=None)


def _numbered(tool: Tool, kept: Collection[Tool], own: Collection[Tool]) -> Tool:
    """The cutter with a T word of its own; offsets follow the number where the crib says none."""
    if tool in own:
        return tool
    used = {each.number for each in (*kept, *own)}
    number = tool.number
    if number == 0 or number in used:
        number = next(n for n in range(1, 10000) if n not in used)
    return replace(
        tool,
        number=number,
        length_offset=_following(tool.length_offset, tool.number, number),
        diameter_offset=_following(tool.diameter_offset, tool.number, number),
    )


def _following(offset: int, before: int, number: int) -> int:
    """An offset that was the tool's own number follows it."""
    return number if offset in (0, before) else offset


def _free_name(name: str, taken: Collection[str]) -> str:
    """The crib's name, told apart where a tool of the job has it already."""
    count, found = 2, name
    while found in taken:
        tail = f" {count}"
        found, count = name[: LONGEST - len(tail)] + tail, count + 1
    return found
