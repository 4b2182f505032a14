"""The checks of the dataset: each a small file with a name, a scope and its test.

A check is a module with ``NAME``, ``SCOPE`` (rule, table or dataset), ``SENTENCE`` (what must hold)
and ``check(material)`` that yields a fault for each breach.
"""
