"""Pages on which a band compares rigs over its year."""
