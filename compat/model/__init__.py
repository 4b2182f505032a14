"""The words of the project as Python types; imports nothing else of the package."""
