"""Obligations held against a program that was read and cut."""

from compiler.judge.case import Case
from compiler.judge.judge import Judged, examine, judge
from compiler.judge.model import Leftover, Obligation, OperationFacts, Place, Report

__all__ = [
    "Case",
    "Judged",
    "Leftover",
    "Obligation",
    "OperationFacts",
    "Place",
    "Report",
    "examine",
    "judge",
]
