"""What changes between two jobs, in what they say and in what is cut: begin at `compare.compare`.

Nothing is imported here: `lines`, which git calls file by file, needs no geometry.
"""
