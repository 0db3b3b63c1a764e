"""The words that bands write, by what they are read for."""
