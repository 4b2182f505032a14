"""Formulas of the trade, one subject a file.

Plain functions of numbers and intervals, which raise ValueError on a value out of range. Confidence
of a source is told in the words of the project: standard, derived, measured, common practice, from
memory.
"""
