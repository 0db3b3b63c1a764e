"""A house: what it keeps of itself, its gigs, its own spec, and who asks it."""
