"""Rule files: read, parsed by a closed grammar, unit-checked, compiled to SQL and to Python."""
