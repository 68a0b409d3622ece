"""Reading specs: located YAML, the typed language, and the resolved job. Begin at `load`."""
