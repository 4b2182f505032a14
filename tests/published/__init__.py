"""Figures printed in published sources, and general-purpose libraries, held against the program."""
