"""The command line: one file a command.

The only place that prints, ends the process, reads the environment or writes files.
"""
