"""Lowering, first half: from job and part to the operation list."""
