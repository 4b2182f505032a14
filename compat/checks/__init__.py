"""The checks of the dataset: each a function with a name, a scope and the sentence that must hold."""
