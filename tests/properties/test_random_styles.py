"""Ways of writing by chance, over one small job in each unit: written, read, proven, in form.

The job holds what a control may be particular about: a closed pocket with a helix, arcs of all
sizes, walls with a wear offset, holes spotted, pecked and chip-broken, a broken edge.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path
from tempfile import TemporaryDirectory

import yaml
from conftest import THOROUGH
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from rewritten import rewritten

from compiler.job import ProgramStyle
from compiler.road import Journey, prove_job

NOTE = 'Ärger (Größe Ø12)\n; G0 Z-99 "M30" % O99 ' + "long " * 40


def plate(units: str) -> dict[str, object]:
    """The job as plain data; inches are the same plate to the nearest sixty-fourth."""
    one = 1.0 if units == "mm" else 1 / 25.6

    def size(*values: float) -> list[float] | float:
        found = [value * one for value in values]
        return found if len(found) > 1 else found[0]

    holes = [size(20, 20), size(20, 40)]
    return {
        "spec": "job/1",
        "name": "style-plate",
        "title": NOTE[:190],
        "notes": [NOTE[:200]],
        "units": units,
        "machine": "machining_centre_small",
        "material": "aluminium_6061",
        "stock": {
            "outline": {"rectangle": {"from": [0, 0], "to": size(80, 60)}},
            "thickness": size(14),
        },
        "keep_regions": {
            "block": {
                "rectangle": {"from": size(8, 8), "size": size(40, 44), "corner_radius": size(5)},
                "minus": [{"circle": {"centre": size(32, 30), "radius": size(10)}}],
                "turn": 3,
            },
        },
        "tools": {
            "T1": {
                "end_mill": {
                    "diameter": size(8),
                    "flutes": 3,
                    "flute_length": size(20),
                    "stickout": size(28),
                    "material": "carbide",
                    "centre_cutting": True,
                },
                "diameter_offset": 51,
            },
            "T2": {"drill": {"diameter": size(4), "flute_length": size(30), "stickout": size(40)}},
            "T3": {
                "chamfer_mill": {
                    "diameter": size(8),
                    "flutes": 4,
                    "flute_length": size(4),
                    "stickout": size(30),
                    "tip_diameter": size(0.5),
                    "material": "carbide",
                }
            },
        },
        "passes": [
            {"rough": {"tool": "T1", "to": size(-5), "allowance": {"wall": size(0.2)}}},
            {"finish_walls": {"tool": "T1", "compensation": "control", "wear_range": size(0.05)}},
            {"drill": {"tool": "T2", "to": size(-1), "cycle": "spot", "at": holes}},
            {"drill": {"tool": "T2", "to": size(-9), "cycle": "peck", "at": holes[:1]}},
            {"drill": {"tool": "T2", "to": size(-9), "cycle": "chip_break", "at": holes[1:]}},
            {"break_edges": {"tool": "T3", "width": size(0.3)}},
        ],
    }


@cache
def proven(units: str) -> Journey:
    """The job in its units, planned once."""
    with TemporaryDirectory() as name:
        folder = Path(name).resolve()
        (folder / "job.yaml").write_text(yaml.safe_dump(plate(units)), encoding="utf-8")
        made = prove_job(folder / "job.yaml", folder)
    assert made.report is not None and made.report.held, [f.message for f in made.findings]
    return made


STYLES = st.builds(
    ProgramStyle,
    standard=st.sampled_from(["rs274ngc", "iso6983"]),
    decimals=st.sampled_from([None, 3, 5, 6]),
    line_numbers=st.booleans(),
    arcs=st.sampled_from(["centre", "radius"]),
    comments=st.sampled_from(["parentheses", "semicolon", "none"]),
    program_number=st.none() | st.integers(1, 99_999),
    max_line_length=st.integers(60, 256),
    length_offset=st.booleans(),
    helices=st.sampled_from(["arcs", "lines"]),
    cycles=st.sampled_from(["expanded", "canned"]),
    dwell=st.sampled_from(["p_seconds", "p_milliseconds", "x_seconds"]),
    opening=st.sampled_from([(), ("G0 G53 Z0",), ("M9", "M5")]),
    closing=st.sampled_from([(), ("G91 G28 Z0", "G90"), ("G0 G53 Z0", "G0 G53 X0 Y0")]),
)


# shrinking would judge for ages, and each style is judged whole
@settings(
    phases=[Phase.explicit, Phase.reuse, Phase.generate], max_examples=1000 if THOROUGH else 12
)
@given(style=STYLES, units=st.sampled_from(["mm", "inch"]))
def test_any_way_of_writing_is_read_back_proven_and_in_form(
    style: ProgramStyle, units: str
) -> None:
    if units == "inch" and style.decimals == 3:
        style = replace(style, decimals=5)
    written, judged = rewritten(proven(units), style)
    assert [o.what for o in judged.report.obligations if not o.held] == []
    in_form(written.text, style)


def in_form(text: str, style: ProgramStyle) -> None:
    """The text by rules of its own, which know nothing of how it was written."""
    assert text.isascii() and text.endswith("\n")
    lines = text[:-1].split("\n")
    assert max(map(len, lines)) <= style.max_line_length
    is_iso = style.standard == "iso6983"
    assert [k for k, line in enumerate(lines) if "%" in line] == (
        [0, len(lines) - 1] if is_iso else []
    )
    numbered = [line for line in lines if line.startswith("O")]
    has_word = is_iso and style.program_number is not None
    assert numbered == ([f"O{style.program_number:04d}"] if has_word else [])
    blocks = []
    for line in lines:
        body = line
        if style.comments == "parentheses":
            body = re.sub(r"\([^()]*\)", "", line)
        elif style.comments == "semicolon":
            body = line.split(";")[0]
        # outside comments nothing but words: a letter and a plain number each
        assert re.fullmatch(r"(%|O\d{4,5})?|([A-Z][+-]?\d*\.?\d+ ?)+|([A-Z]\d+ ?)+", body.strip())
        if re.search(r"[GMTXYZFSN]", body):
            blocks.append(body)
    numbers = [int(m[1]) for block in blocks if (m := re.match(r"N(\d+)", block))]
    own = len(style.opening) + len(style.closing)
    assert len(numbers) == (len(blocks) - own if style.line_numbers else 0)
    assert all(0 < a < b <= 99_999 for a, b in pairwise(numbers))


def test_a_block_of_the_shop_s_own_longer_than_the_control_takes_is_refused(
    standproud, tmp_path: Path
) -> None:
    job = plate("mm")
    mill = {
        "spindle": {"max_rpm": 8000},
        "feed": {"max": 3000},
        "program": {"max_line_length": 60, "opening": ["(" + 70 * "x" + ")"]},
    }
    (tmp_path / "job.yaml").write_text(yaml.safe_dump({**job, "machine": mill}), encoding="utf-8")
    ran = standproud("check", tmp_path / "job.yaml")
    assert ran.status == 1 and "E114" in ran.err and "72 characters" in ran.err


def test_too_few_decimals_are_named_as_what_breaks_a_wall() -> None:
    """Four decimals of an inch are 2.5 micrometres: rounding an arc's ends and centre to them may
    take a wall nearer than the 2.5 micrometres that are allowed. Plane geometry.
    """
    _, judged = rewritten(proven("inch"), ProgramStyle(decimals=4))
    found = next(o for o in judged.report.obligations if o.name == "regions_stand")
    assert not found.held and "`decimals: 5`" in found.remedy
