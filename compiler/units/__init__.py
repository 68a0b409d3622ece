"""Quantities as authors write them, and the one number printer."""
