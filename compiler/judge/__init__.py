"""Obligations held against a program that was read and cut: begin at `judge.judge`.

Nothing is imported here: a report is read where no program is judged, and the simulation that the
judgement stands on takes long to load.
"""
