"""A program text, read as a control would read it. Shares no code with the writer."""
