"""The tables of the dataset: read, laid over with the user's own, and checked by schema."""
