"""Printers of findings: for people, for programs, for code-hosting annotations."""
