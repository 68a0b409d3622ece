"""Cutting a program that was read, on the stock: heights, volumes, contact, engagement, times."""

from compiler.simulate.blank import fresh, on_grid, turned_blank
from compiler.simulate.left import Left, what_is_left
from compiler.simulate.model import Begun, Blank, Cut, MotionFacts, Samples
from compiler.simulate.raster import Grid, choose_pitch
from compiler.simulate.removal import simulate
from compiler.simulate.times import motion_times, total_time

__all__ = [
    "Begun",
    "Blank",
    "Cut",
    "Grid",
    "Left",
    "MotionFacts",
    "Samples",
    "choose_pitch",
    "fresh",
    "motion_times",
    "on_grid",
    "simulate",
    "total_time",
    "turned_blank",
    "what_is_left",
]
