"""Releases of the dataset: its tables, pages, sums and notes, made from the files that people edit."""
