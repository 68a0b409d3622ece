"""Obligations held against a program that was read and cut."""
