"""Broken files and the sentence the user must see."""
