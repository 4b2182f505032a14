"""Circuits and outputs in, verdicts and findings out."""
