"""The built-in materials by name. A shop file may add to them or write its own.

>>> MATERIALS["aluminium_6061"].title
'Aluminium EN AW-6061-T6'
"""

from collections.abc import Mapping
from types import MappingProxyType

from compiler.job.model import Material
from compiler.knowledge.metals import METALS
from compiler.knowledge.plastics import PLASTICS

MATERIALS: Mapping[str, Material] = MappingProxyType(
    {material.name: material for material in (*METALS, *PLASTICS)}
)
