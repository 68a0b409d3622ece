"""The language: YAML with positions, typed models, the schema, and the way to a resolved job."""
