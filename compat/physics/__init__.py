"""Formulas of the trade, one subject a file.

Every subject has two forms that the tests hold equal: plain functions of numbers, for look-ups
and explanations, and a ``StagedQuery`` that computes the same columns in DuckDB. The plain
functions raise ValueError on a value out of range; the queries give NULL for it, as for a value
that is not known. Confidence of a source is told in the words of the project: standard, derived,
measured, common practice, from memory.
"""
