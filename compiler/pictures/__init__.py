"""Drawings of part, paths and remains, as SVG."""
