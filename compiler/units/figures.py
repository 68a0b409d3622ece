"""Figures of the road, which are metric, in the units of a job.

>>> in_job_units(1.5, "kW", "mm")
(1.5, 'kW')
>>> round(in_job_units(1.5, "kW", "inch")[0], 3)
2.012
"""

from compiler.units.number import MM_PER_INCH, Units, short

KW_PER_HORSEPOWER = 0.745699872  # mechanical, 550 ft lbf/s: NIST SP 811 appendix B.8
N_PER_POUND = 4.4482216152605  # NIST SP 811 appendix B.8
NM_PER_FOOT_POUND = N_PER_POUND * 0.3048

INCH_FORM = {
    "mm": (MM_PER_INCH, "in"),
    "mm2": (MM_PER_INCH**2, "in2"),
    "mm3": (MM_PER_INCH**3, "in3"),
    "mm/min": (MM_PER_INCH, "in/min"),
    "kW": (KW_PER_HORSEPOWER, "hp"),
    "N m": (NM_PER_FOOT_POUND, "ft lbf"),
    "N": (N_PER_POUND, "lbf"),
    "m/min": (0.3048, "ft/min"),
}

_FEED_DECIMALS: dict[Units, int] = {"inch": 1, "mm": 0}


def in_job_units(value: float, unit: str, units: Units) -> tuple[float, str]:
    """A figure and its unit's name, as an inch or mm job says them; other units stay."""
    if units == "inch" and unit in INCH_FORM:
        one, name = INCH_FORM[unit]
        return value / one, name
    return value, unit


def feed(mm_min: float, units: Units) -> str:
    """A feed in mm/min, as people read it in the job's units: `60 in/min`, `1524 mm/min`."""
    value, name = in_job_units(mm_min, "mm/min", units)
    return f"{short(value, _FEED_DECIMALS[units])} {name}"


def area(mm2: float, units: Units) -> str:
    """An area in mm2, as people read it in the job's units: `0.0421 in²`, `27.2 mm²`."""
    value, name = in_job_units(mm2, "mm2", units)
    return f"{short(value, 4 if units == 'inch' else 2)} {name.replace('2', '²')}"
