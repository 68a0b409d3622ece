"""Families: parameters, expressions with units, members and overrides, on located nodes.

Everything here works before validation, on the tree that has a place for every value, so that
what is wrong in an expanded job is still told where an author wrote it.
"""
