"""How a gig stands: what is open, whose turn it is, what is new since somebody looked."""
