"""The language as typed models: this package is the grammar, and the JSON Schemas come from it."""

from compiler.spec.models.family import Family
from compiler.spec.models.job import Job, Member
from compiler.spec.models.shop import Shop

__all__ = ["Family", "Job", "Member", "Shop"]
