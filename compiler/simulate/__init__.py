"""Cutting a program that was read, on the stock."""
