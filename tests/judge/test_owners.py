"""Who owns a line, told from the text alone: against what the writer knows of its own lines."""

import re

import pytest
from boss_plate import FLOOR, HEAD, TAIL, emit, make_operation, make_plan, rings, world
from conftest import example

from compiler.judge.owners import owners
from compiler.read import read

JOBS = ("finder-bracket", "guider-plate-drawn")


@pytest.mark.parametrize("name", JOBS)
def test_comments_give_the_same_owners_as_the_writer(name: str) -> None:
    road = example(name)
    assert road.written and road.job and road.plan
    program = read(road.written.text).value
    assert program is not None
    found = owners(program, road.job, road.plan)
    # but for the way up to a tool change, which cuts nothing and may go by either side
    lines = {b.line for b in program.blocks if not b.motions or b.motions[0].kind != "rapid"}
    own = road.written.line_owner
    assert all(found[line - 1] == own[line - 1] for line in lines)
    assert sum(a != b for a, b in zip(found, own, strict=False)) <= len(road.plan.tools)

    # without comments: the right tool at the right height, each cut of some operation
    bare = read(re.sub(r"\([^)]*\)", "", road.written.text)).value
    assert bare is not None
    told = owners(bare, road.job, road.plan)
    by_id = {op.id: op for op in road.plan.operations}
    for motion in bare.motions:
        if motion.kind == "rapid":
            continue
        owner = told[motion.line - 1]
        assert owner is not None, motion.line
        assert road.job.tool(by_id[owner].tool).number == motion.state.tool
        own = road.written.line_owner[motion.line - 1]
        assert by_id[owner].levels[-1].bottom_mm <= motion.end.z + 0.01 or owner == own


def test_heights_part_operations_of_one_tool() -> None:
    deep = make_operation(id="deep", levels=({"top_mm": 0, "bottom_mm": -6.0, "standing": ()},))
    plan = make_plan(make_operation(), deep)
    lower = emit(rings()).replace(f"Z{FLOOR:.3f}", "Z-6.000")
    text = HEAD + emit(rings()) + lower + TAIL
    program = read(text).value
    assert program is not None
    found = owners(program, world().job, plan)
    head, one = HEAD.count("\n"), emit(rings()).count("\n")
    assert found[head + 3] == "clear" and found[head + one - 1] == "clear"
    assert found[head + one + 3] == "deep"


def test_a_comment_of_another_tools_operation_is_not_believed() -> None:
    other = make_operation(id="other", tool="T1")
    plan = make_plan(make_operation(), other)
    text = world().text.replace("G0 G43 H1", "(operation other: face, T1)\nG0 G43 H1")
    program = read(text).value
    assert program is not None
    assert "other" in owners(program, world().job, plan)
    stranger = read(text.replace("T1 M6", "T7 M6")).value
    assert stranger is not None
    assert set(owners(stranger, world().job, plan)) == {None}


def test_cuts_of_no_operation_are_refused() -> None:
    good = world()
    none = [None] * len(good.owners)
    from compiler.judge.judge import judge

    report = judge(
        job=good.job,
        part=good.part,
        plan=good.plan,
        motions=good.motions,
        text=good.text,
        line_owner=none,
    ).value
    assert report is not None
    entry = next(e for e in report.obligations if e.name == "engagement_held")
    assert not entry.held and "belong to no operation" in entry.what
