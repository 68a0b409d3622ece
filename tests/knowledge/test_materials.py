"""The built-in tables: whole, marked with their sources, and near what is published."""

import pytest

from compiler.job.model import Material
from compiler.knowledge.bands import HARD, NON_FERROUS, STEEL_AND_IRON, TOUGH
from compiler.knowledge.machines import MACHINES
from compiler.knowledge.materials import MATERIALS

ALL = pytest.mark.parametrize("material", MATERIALS.values(), ids=list(MATERIALS))


@ALL
def test_every_number_has_its_source(material: Material) -> None:
    numbers = {
        "specific_cutting_force",
        *(f"cutting_speed.{made_of}" for made_of in material.cutting_speed),
        "chip_load",
        "max_ramp_angle",
        "slot_depth",
        "side_depth",
    }
    assert numbers <= set(material.sources)
    assert all(material.sources.values())


@ALL
def test_tables_are_sane(material: Material) -> None:
    assert material.name in MATERIALS and MATERIALS[material.name] is material
    assert material.cutting_speed.get("hss", 0.0) < material.cutting_speed["carbide"]
    assert set(material.chip_load) == set(material.cutting_speed)
    for rows in material.chip_load.values():
        assert list(rows) == sorted(rows)
        assert [load for _, load in rows] == sorted(load for _, load in rows)
    assert 0 < material.slot_depth <= material.side_depth
    assert material.cautions


# J. Carvill, Mechanical Engineer's Data Handbook, p. 187: milling speeds, high-speed steel, m/min.
@pytest.mark.parametrize(
    ("name", "speed"),
    [
        ("steel_1018", 28),
        ("steel_s235", 28),
        ("iron_gjl_250", 20),
        ("bronze_c932", 35),
        ("brass_c360", 45),
        ("aluminium_6061", 100),
    ],
)
def test_published_speeds_are_kept(name: str, speed: float) -> None:
    assert MATERIALS[name].cutting_speed["hss"] == speed


# the same page, where a shop's range and the published value differ
@pytest.mark.parametrize(("name", "speed"), [("steel_4140", 10), ("copper_c110", 60)])
def test_other_speeds_are_near_the_published(name: str, speed: float) -> None:
    assert speed / 1.5 <= MATERIALS[name].cutting_speed["hss"] <= speed * 1.5


# Machinery's Handbook, 31st ed., p. 1147, table 1b, kW/(cm3/s) at these hardnesses.
@pytest.mark.parametrize(
    ("name", "unit_power"), [("steel_1018", 1.88), ("steel_1045", 2.32), ("steel_4140", 2.48)]
)
def test_published_unit_power(name: str, unit_power: float) -> None:
    assert MATERIALS[name].specific_cutting_force == pytest.approx(1000 * unit_power, rel=0.005)


# J. Carvill, p. 192, milling constants in W s/mm3: never reckon with less.
@pytest.mark.parametrize(
    ("name", "constant"),
    [("aluminium_6061", 0.9), ("brass_c360", 1.6), ("iron_gjl_250", 1.9)],
)
def test_force_is_not_below_the_published(name: str, constant: float) -> None:
    assert MATERIALS[name].specific_cutting_force >= 1000 * constant


# Carbide cutting speeds that shops use, m/min: common practice, no source.
@pytest.mark.parametrize(
    ("name", "low", "high"),
    [
        ("aluminium_6061", 200, 600),
        ("aluminium_7075", 200, 600),
        ("aluminium_a380", 120, 300),
        ("brass_c360", 120, 300),
        ("copper_c110", 100, 200),
        ("steel_1018", 90, 180),
        ("steel_s235", 90, 180),
        ("steel_4140", 70, 140),
        ("tool_steel_o1", 50, 100),
        ("tool_steel_a2", 50, 100),
        ("tool_steel_d2", 50, 100),
        ("stainless_304", 50, 110),
        ("stainless_316", 50, 110),
        ("iron_gjl_250", 80, 150),
        ("titanium_6al4v", 35, 70),
        ("nickel_718", 15, 35),
        ("steel_hardened", 40, 90),
        ("magnesium_az31", 250, 600),
        ("acetal", 150, 400),
        ("nylon", 150, 400),
        ("hdpe", 150, 400),
        ("polycarbonate", 150, 400),
    ],
)
def test_carbide_speeds_are_in_the_shops_range(name: str, low: float, high: float) -> None:
    assert low <= MATERIALS[name].cutting_speed["carbide"] <= high


@ALL
def test_chip_loads_lie_in_their_band(material: Material) -> None:
    bands = {"H": HARD, "P": STEEL_AND_IRON, "K": STEEL_AND_IRON, "M": TOUGH, "S": TOUGH}
    for kind, rows in material.chip_load.items():
        for (size, load), (at, low, high) in zip(
            rows, bands.get(material.iso_group, NON_FERROUS), strict=True
        ):
            highest = (low + high) / 2 if kind == "hss" else high
            assert size == at and low <= load <= highest


def test_combustible_metals_say_so() -> None:
    for name in ("magnesium_az31", "titanium_6al4v"):
        material = MATERIALS[name]
        assert any(caution.startswith("Fire:") for caution in material.cautions)
        assert "DOE-HDBK-1081-94" in material.sources["cautions"]


def test_machines_are_whole() -> None:
    for name, machine in MACHINES.items():
        assert machine.name == name
        assert machine.travel is not None and min(machine.travel) > 0
        assert 0 < machine.min_rpm < machine.max_rpm
        assert machine.max_feed <= machine.rapid
        assert machine.power is not None and machine.peak_torque is not None
        # full power needs no more than the peak torque somewhere in the upper half of the range
        assert 9549.297 * machine.power / (machine.max_rpm / 2) <= machine.peak_torque


def test_the_tables_cannot_be_changed() -> None:
    with pytest.raises(TypeError):
        MATERIALS["x"] = MATERIALS["acetal"]  # type: ignore[index]
