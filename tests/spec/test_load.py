"""A job file to a resolved job: units, defaults, references, order, digest."""

import math
from pathlib import Path

import pytest
import whole_job
from spec_folder import BASE, BOSS, job_of, load_text, write_data

from compiler.geometry import Point, Region
from compiler.job import Job, OpenChain
from compiler.spec.load import load_job


@pytest.fixture
def whole(tmp_path: Path) -> Job:
    write_data(tmp_path, "shop.yaml", whole_job.SHOP)
    read = load_job(write_data(tmp_path, "job.yaml", whole_job.JOB), tmp_path)
    assert not read.findings, [(f.code, f.message, f.path) for f in read.findings]
    assert read.value is not None
    return read.value.job


def test_shop_values_are_in_the_shops_units(whole: Job) -> None:
    machine = whole.machine
    assert machine.travel == (508.0, 254.0, 203.2)
    assert machine.max_feed == 80 * 25.4
    assert machine.power == pytest.approx(1.4914, abs=1e-4)  # 2 hp, NIST SP 811 appendix B.8
    assert machine.acceleration == 508.0
    assert machine.program.opening == ("G17 G20 G90",)
    assert whole.tool("T1").diameter == 12.7
    assert whole.tool("small").diameter == 4.0


def test_material_of_the_shop(whole: Job) -> None:
    material = whole.material
    assert material.name == "plate"
    assert material.cutting_speed["hss"] == pytest.approx(60.96)  # 200 ft/min, SP 811 B.8
    assert material.chip_load["carbide"] == ((3.175, 0.0254), (12.7, 0.1016))
    # 0.33 hp/(in3/min) is 0.9 J/mm3, from the horsepower and inch of SP 811 B.8, derived
    assert material.specific_cutting_force == pytest.approx(901.0, abs=0.1)


def test_tool_numbers(whole: Job) -> None:
    assert [(tool.name, tool.number) for tool in whole.tools] == [
        ("T1", 1),
        ("small", 2),
        ("T3", 3),
    ]
    assert whole.tool("small").length_offset == 12
    assert whole.tool("small").diameter_offset == 2


def test_defaults_of_a_cutter(whole: Job) -> None:
    small = whole.tool("small")
    assert (small.flute_length, small.stickout, small.shank_diameter) == (8.0, 12.0, 4.0)
    assert small.material == "hss" and not small.centre_cutting
    assert small.helix_angle == pytest.approx(math.radians(30))
    drill = whole.tool("T3")
    assert drill.centre_cutting and drill.flutes == 2
    assert drill.tip_angle == pytest.approx(math.radians(118))


def test_passes(whole: Job) -> None:
    by_name = {p.name: p for p in whole.passes}
    assert list(by_name) == [
        *("face 1", "clear", "rest 1", "finish_floor 1", "finish_walls 1", "drill 1"),
        "break_edges 1",
    ]
    clear = by_name["clear"]
    assert clear.engagement == pytest.approx(math.pi / 3)
    assert clear.cutting.speed == 200 and clear.cutting.chip_load == 0.05
    assert clear.spans["to"].line == 1
    assert by_name["rest 1"].radial_depth == pytest.approx(1.6), "40% of 4 mm"
    assert by_name["rest 1"].after == ("clear",)
    assert by_name["face 1"].start == 0.5
    assert by_name["drill 1"].at == (Point(10, 10), Point(190, 110))


def test_regions_come_by_name(whole: Job) -> None:
    names = [region.name for region in whole.keep_regions]
    assert names == sorted(names)
    lug = next(region for region in whole.keep_regions if region.name == "lug")
    assert (lug.top, lug.wall_allowance, lug.about) == (-2.0, 0.2, "")
    boss = next(region for region in whole.keep_regions if region.name == "boss")
    assert (boss.top, boss.about) == (0.0, "Bearing seat")


def test_natural_order(tmp_path: Path) -> None:
    many = "".join(
        f"  boss {i}: {{circle: {{centre: [{5 * i}, 20], radius: 2}}}}\n" for i in (10, 9, 2, 1)
    )
    job = job_of(tmp_path, BASE.replace(f"  boss: {BOSS}\n", many))
    assert [r.name for r in job.keep_regions] == ["boss 1", "boss 2", "boss 9", "boss 10"]


def test_yaml_1_1_words_are_names(tmp_path: Path) -> None:
    text = BASE.replace("  boss:", "  on:").replace("to: -6", "to: -6, regions: [on, no]")
    text = text.replace("tools:", "  no: {circle: {centre: [8, 8], radius: 2}}\ntools:")
    assert [r.name for r in job_of(tmp_path, text).keep_regions] == ["no", "on"]


@pytest.mark.parametrize("name", ["Gehäuse", "κέντρο 2", "вал_1", "a-b c"])
def test_names_are_letters_of_many_alphabets(tmp_path: Path, name: str) -> None:
    text = BASE.replace("  boss:", f"  {name}:") + f"datum: {{at: region {name} centre}}\n"
    job = job_of(tmp_path, text)
    assert job.keep_regions[0].name == name
    assert job.datum.at == pytest.approx((30, 20))


@pytest.mark.parametrize(
    "name", ["a\u0308b", "b\u200bs", "ＢＯＳＳ", "b;s", "b(s", "b%", "-b", " b"]
)
def test_names_that_could_be_misread_are_refused(tmp_path: Path, name: str) -> None:
    read = load_text(tmp_path, BASE.replace("  boss:", f'  "{name}":'))
    assert [found.code for found in read.findings] == ["E109"]


@pytest.mark.parametrize(
    ("said", "at"),
    [
        ("[5, 6]", (5, 6)),
        ("stock lower_left", (0, 0)),
        ("stock upper_right", (60, 40)),
        ("stock centre", (30, 20)),
        ("region boss centre", (30, 20)),
    ],
)
def test_datum(tmp_path: Path, said: str, at: tuple[float, float]) -> None:
    job = job_of(tmp_path, BASE + f"datum: {{at: {said}}}\n")
    assert job.datum.at == pytest.approx(at)
    assert job.datum.said


@pytest.mark.parametrize(
    "stock",
    [
        "{around: keep_regions, margin: 2, thickness: 12}",
        "{outline: {around: keep_regions, margin: 2}, thickness: 12}",
    ],
)
def test_stock_around_what_is_kept(tmp_path: Path, stock: str) -> None:
    text = BASE.replace(
        "{outline: {rectangle: {from: [0, 0], to: [60, 40]}}, thickness: 12}", stock
    )
    assert job_of(tmp_path, text).stock.region.bounds == pytest.approx((20, 10, 40, 30))


def test_heights_by_default(tmp_path: Path) -> None:
    metric = job_of(tmp_path, BASE)
    assert (metric.heights.clearance, metric.heights.approach) == (2.5, 1.3)
    jaw = "workholding: {obstacles: {jaw: {circle: {centre: [-9, 0], radius: 3}, top: 20}}}\n"
    assert job_of(tmp_path, BASE + jaw).heights.clearance == 22.5
    inch = job_of(tmp_path, BASE.replace("units: mm", "units: inch"))
    assert inch.heights.clearance == pytest.approx(2.54)
    assert inch.heights.approach == pytest.approx(1.27)


def test_open_region(tmp_path: Path) -> None:
    rail = "{open: {path: {start: [50, 0], steps: [{line: [50, 40]}]}, stands: right}}"
    job = job_of(tmp_path, BASE.replace(BOSS, rail))
    shape = job.keep_regions[0].shape
    assert isinstance(shape, OpenChain)
    assert (shape.stands, shape.chain.start, shape.chain.end) == ("right", (50, 0), (50, 40))


def test_written_out_machine_and_material(tmp_path: Path) -> None:
    text = BASE.replace("knee_mill", "{spindle: {max_rpm: 3000}, feed: {max: 500}}").replace(
        "aluminium_6061",
        "{specific_cutting_force: 800, cutting_speed: {carbide: 200}, "
        "chip_load: {carbide: [[12, 0.1], [3, 0.02]]}}",
    )
    job = job_of(tmp_path, text)
    assert (job.machine.max_rpm, job.machine.max_feed, job.machine.rapid) == (3000, 500, 500)
    assert job.machine.travel is None and job.machine.change_time == 60
    assert job.material.chip_load["carbide"] == ((3, 0.02), (12, 0.1)), "by rising diameter"


# --- shapes: areas by plane geometry, derived ------------------------------------------------

PI = math.pi


@pytest.mark.parametrize(
    ("shape", "area", "centre"),
    [
        ("{circle: {centre: [1, 2], diameter: 6}}", 9 * PI, (1, 2)),
        ("{rectangle: {from: [1, 1], to: [5, 4]}}", 12, (3, 2.5)),
        ("{rectangle: {from: [5, 4], to: [1, 1]}}", 12, (3, 2.5)),
        ("{rectangle: {from: [1, 1], size: [4, 3]}}", 12, (3, 2.5)),
        ("{rectangle: {to: [5, 4], size: [4, 3]}}", 12, (3, 2.5)),
        ("{rectangle: {centre: [3, 2.5], size: [4, 3]}}", 12, (3, 2.5)),
        ("{rectangle: {centre: [3, 2.5], to: [5, 4]}}", 12, (3, 2.5)),
        ("{rectangle: {centre: [3, 2.5], from: [1, 1]}}", 12, (3, 2.5)),
        ("{rectangle: {from: [0, 0], to: [4, 3], corner_radius: 1}}", 12 - (4 - PI), (2, 1.5)),
        ("{slot: {from: [0, 0], to: [4, 0], width: 2}}", 8 + PI, (2, 0)),
        ("{polygon: {points: [[0, 0], [4, 0], [0, 3]]}}", 6, (2, 1.5)),
        (
            "{outline: {start: [0, 0], steps: [{line: [4, 0]}, "
            "{arc: {to: [0, 0], centre: [2, 0], turn: ccw}}]}}",
            2 * PI,
            (2, 1),
        ),
        (
            "{outline: {start: [0, 0], steps: [{line: [4, 0], chamfer: 1}, "
            "{line: [4, 4], round: 1}, {line: [0, 4]}, {line: [0, 0]}]}}",
            16 - 0.5 - (1 - PI / 4),
            (2, 2),
        ),
        ("{circle: {centre: [0, 0], radius: 3}, minus: [{circle: {centre: [0, 0], radius: 2}}]}",
         5 * PI, (0, 0)),
        ("{circle: {centre: [0, 0], radius: 3}, grow: -1}", 4 * PI, (0, 0)),
        ("{rectangle: {from: [0, 0], to: [2, 2]}, grow: 1}", 4 + 8 + PI, (1, 1)),
        ("{circle: {centre: [0, 0], radius: 1}, move: [3, 4]}", PI, (3, 4)),
        ("{rectangle: {from: [0, 0], to: [4, 2]}, turn: 90}", 8, (2, 1)),
        ("{rectangle: {from: [0, 0], to: [4, 2]}, turn: 90, about: [0, 0]}", 8, (-1, 2)),
        ("{circle: {centre: [3, 1], radius: 1}, mirror: {across: x}}", PI, (-3, 1)),
        ("{circle: {centre: [3, 1], radius: 1}, mirror: {across: y, at: 5}}", PI, (3, 9)),
        ("{circle: {centre: [0, 0], radius: 1}, repeat: {grid: {count: [3, 2], pitch: [4, 5]}}}",
         6 * PI, (4, 2.5)),
        ("{circle: {centre: [5, 0], radius: 1}, repeat: {ring: {centre: [0, 0], count: 4}}}",
         4 * PI, (0, 0)),
        ("{circle: {centre: [9, 9], radius: 1}, "
         "repeat: {ring: {centre: [0, 0], count: 2, radius: 5, start_angle: 90}}}",
         2 * PI, (0, 0)),
        ("{any_of: [{circle: {centre: [0, 0], radius: 1}}, {circle: {centre: [4, 0], radius: 1}}]}",
         2 * PI, (2, 0)),
    ],
)  # fmt: skip
def test_shapes(tmp_path: Path, shape: str, area: float, centre: tuple[float, float]) -> None:
    region = job_of(tmp_path, BASE.replace(BOSS, shape)).keep_regions[0].shape
    assert isinstance(region, Region)
    assert region.area == pytest.approx(area, rel=1e-9)
    x0, y0, x1, y1 = region.bounds
    assert ((x0 + x1) / 2, (y0 + y1) / 2) == pytest.approx(centre, abs=1e-9)


def test_modifiers_work_in_the_languages_order(tmp_path: Path) -> None:
    one = "{rectangle: {from: [0, 0], to: [4, 2]}, turn: 90, move: [10, 0], about: [0, 0]}"
    other = "{move: [10, 0], about: [0, 0], turn: 90, rectangle: {from: [0, 0], to: [4, 2]}}"
    regions = [job_of(tmp_path, BASE.replace(BOSS, s)).keep_regions[0].shape for s in (one, other)]
    assert regions[0] == regions[1]
    assert isinstance(regions[0], Region)
    assert regions[0].bounds == pytest.approx((-2, 10, 0, 14)), "moved first, then turned"


# --- the digest -------------------------------------------------------------------------------

SAME = [
    ("units: mm\n", "units: mm # millimetres\n"),
    ("radius: 8", "radius: 8.0"),
    ("radius: 8", "radius: 8 mm"),
    ("radius: 8", "radius: 0.8 cm"),
    ("{centre: [30, 20], radius: 8}", "{diameter: 16, centre: [30, 20]}"),
    ("name: plate\nunits: mm\n", "units: mm\nname: plate\n"),
    ("  boss:", "  'boss':"),
    ("to: -6}", "to: -6, cutting: auto}"),
    ("to: -6}", "to: -6, stop_before: false}"),
]
OTHER = [
    ("radius: 8", "radius: 8.001"),
    ("name: plate", "name: plates"),
    ("to: -6}", "to: -6, spring: 1}".replace("spring: 1", "direction: climb")),
    ("  boss:", "  lug:"),
    ("flutes: 3", "flutes: 2"),
    ("knee_mill", "bench_mill"),
]


@pytest.mark.parametrize(("old", "new"), SAME)
def test_spelling_does_not_change_the_digest(tmp_path: Path, old: str, new: str) -> None:
    assert old in BASE
    changed = BASE.replace(old, new)
    assert job_of(tmp_path, changed).digest == job_of(tmp_path, BASE).digest


@pytest.mark.parametrize(("old", "new"), OTHER)
def test_meaning_changes_the_digest(tmp_path: Path, old: str, new: str) -> None:
    assert old in BASE
    changed = BASE.replace(old, new)
    assert job_of(tmp_path, changed).digest != job_of(tmp_path, BASE).digest


def test_order_of_regions_does_not_count(tmp_path: Path) -> None:
    one, two = f"  boss: {BOSS}\n", "  lug: {circle: {centre: [9, 9], radius: 2}}\n"
    jobs = [job_of(tmp_path, BASE.replace(one, order)) for order in (one + two, two + one)]
    assert jobs[0].digest == jobs[1].digest
    assert [r.name for r in jobs[0].keep_regions] == [r.name for r in jobs[1].keep_regions]


def test_the_folder_does_not_change_the_digest(tmp_path: Path) -> None:
    (tmp_path / "deeper").mkdir()
    digests = {job_of(folder, BASE).digest for folder in (tmp_path, tmp_path / "deeper")}
    assert len(digests) == 1


# --- what is reported -------------------------------------------------------------------------


def test_the_first_file_may_be_missing(tmp_path: Path) -> None:
    read = load_job(tmp_path / "none.yaml", tmp_path)
    assert read.failed and [f.code for f in read.findings] == ["E601"]


def test_sources_are_kept_for_snippets(tmp_path: Path) -> None:
    write_data(tmp_path, "shop.yaml", {**whole_job.SHOP, "colour": 1})
    read = load_text(tmp_path, BASE.replace("machine:", "shop: shop.yaml\nmachine:"))
    assert [f.code for f in read.findings] == ["E103"]
    assert read.findings[0].primary is not None
    assert read.findings[0].primary.span.file == "shop.yaml"
    assert set(read.sources) == {"job.yaml", "shop.yaml"}


def test_all_findings_of_a_stage_together(tmp_path: Path) -> None:
    text = BASE.replace("radius: 8", "radius: -8").replace("flutes: 3", "fluts: 3")
    text = text.replace("units: mm", "units: millimeter").replace("tool: T1, ", "")
    read = load_text(tmp_path, text)
    assert [f.code for f in read.findings] == ["E106", "E108", "E103", "E104"]


def test_a_near_name_is_suggested_and_a_far_one_is_not(tmp_path: Path) -> None:
    near = load_text(tmp_path, BASE.replace("knee_mill", "kneemill")).findings[0]
    far = load_text(tmp_path, BASE.replace("knee_mill", "lathe")).findings[0]
    assert "did you mean `knee_mill`?" in near.help
    assert "did you mean" not in far.help and "knee_mill" in far.help


def test_geometry_speaks_the_jobs_units(tmp_path: Path) -> None:
    text = BASE.replace("units: mm", "units: inch").replace(
        BOSS, "{rectangle: {from: [10, 10], size: [2, 1], corner_radius: 0.6}}"
    )
    found = load_text(tmp_path, text).findings[0]
    assert found.code == "E303"
    assert "mm" not in found.message + found.help
    assert "0.5 in" in found.help


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("6061-T6", "aluminium_6061"),
        ('"4140"', "steel_4140"),
        ("C45", "steel_1045"),
        ("brass c360", "brass_c360"),
        ("cheese", ""),
    ],
)
def test_a_material_by_its_grade_is_suggested(tmp_path: Path, said: str, meant: str) -> None:
    from compiler.knowledge.materials import MATERIALS

    read = load_text(tmp_path, BASE.replace("aluminium_6061", said, 1))
    (found,) = [f for f in read.findings if f.code == "E204"]
    assert (f"did you mean `{meant}`?" in found.help) == bool(meant)
    assert all(f"`{name}`" in found.help for name in MATERIALS) and "more" not in found.help
