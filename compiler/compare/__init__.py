"""What changes between two jobs: in what they say, and in what is cut. Begin at `compare`."""

from compiler.compare.compare import compare

__all__ = ["compare"]
