"""Quantities as people write them, and the one number printer."""
