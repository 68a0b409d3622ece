"""Lowering, second half: strategies turn each operation into tool-centre motions."""
