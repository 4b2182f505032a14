"""Tests of the formulas against independent references: NumPy, SciPy, equations of motion."""
