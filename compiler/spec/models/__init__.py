"""The language as typed models: this package is the grammar, and the JSON Schemas come from it."""

from compiler.spec.models.family import Definitions, Family
from compiler.spec.models.job import Job, Member
from compiler.spec.models.shop import Shop

__all__ = ["Definitions", "Family", "Job", "Member", "Shop"]
