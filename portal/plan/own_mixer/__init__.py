"""A mixer of the band that mixes for the audience tonight: its patch, what it mixes, what is silent without it."""
