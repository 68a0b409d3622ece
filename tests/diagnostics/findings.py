"""Findings and sources for the tests of this folder."""

from compiler.diagnostics import Label, Span

SPEC = """\
spec: job/1
tools:
  T1: {crib: em_500}
\t  T2: {crib: 望遠鏡}
passes:
  - rough: {tool: T3, to: -0.5}
"""
SOURCES = {"specs/bracket.yaml": SPEC, "shop.yaml": "spec: shop/1\ncrib: {}\n"}


def span(line: int, column: int, end: int, *, file: str = "specs/bracket.yaml") -> Span:
    return Span(file, line, column, line, end)


def label(line: int, column: int, end: int, text: str = "", **where: str) -> Label:
    return Label(span(line, column, end, **where), text)
