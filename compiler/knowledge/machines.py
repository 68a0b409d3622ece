"""Generic machines by name, so that a first job needs no shop file.

Every number is common practice, no source: a middling machine of its kind, not any maker's. The
real machine's manual rules; a shop file says what it says.
"""

from collections.abc import Mapping
from types import MappingProxyType

from compiler.job.model import Machine

_ALL = (
    Machine(
        name="bench_mill",
        travel=(300.0, 150.0, 250.0),
        max_rpm=2500,
        min_rpm=100,
        power=0.75,
        peak_torque=10.0,
        max_feed=800,
        rapid=1200,
        acceleration=150,
        tool_change="manual",
        change_time=120,
    ),
    Machine(
        name="knee_mill",
        travel=(760.0, 400.0, 125.0),
        max_rpm=4200,
        min_rpm=60,
        power=2.2,
        peak_torque=40.0,
        max_feed=2500,
        rapid=2500,
        acceleration=300,
        tool_change="manual",
        change_time=90,
    ),
    Machine(
        name="machining_centre_small",
        travel=(400.0, 300.0, 300.0),
        max_rpm=10000,
        min_rpm=100,
        power=5.5,
        peak_torque=35.0,
        max_feed=10000,
        rapid=15000,
        acceleration=2500,
        tool_change="automatic",
        change_time=8,
    ),
    Machine(
        name="machining_centre_medium",
        travel=(1000.0, 500.0, 500.0),
        max_rpm=12000,
        min_rpm=50,
        power=15.0,
        peak_torque=100.0,
        max_feed=12000,
        rapid=30000,
        acceleration=4000,
        tool_change="automatic",
        change_time=5,
    ),
)

MACHINES: Mapping[str, Machine] = MappingProxyType({machine.name: machine for machine in _ALL})
