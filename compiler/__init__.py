"""Compile declarative milling job specs to proven programs and setup sheets."""

__version__ = "0.1.0"
