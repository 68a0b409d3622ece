"""From a job to the part: what must stand, what must go, where no tool may be."""
