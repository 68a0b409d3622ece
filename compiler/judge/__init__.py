"""Obligations held against a program that was read and cut."""

from compiler.judge.judge import judge
from compiler.judge.model import Leftover, Obligation, OperationFacts, Place, Report

__all__ = ["Leftover", "Obligation", "OperationFacts", "Place", "Report", "judge"]
