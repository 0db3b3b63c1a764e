"""The planning engine: pure, no clock, no randomness, no files; the solver's one file aside, standard library only."""
