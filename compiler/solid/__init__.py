"""Solid models (STEP) as exact sections, silhouettes and faces, in mm; an optional extra."""
