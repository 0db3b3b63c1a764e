"""Keys and typed values as words that people read."""
