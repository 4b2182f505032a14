"""Reports as text or bytes: pure functions of the model, the same bytes for the same report."""
