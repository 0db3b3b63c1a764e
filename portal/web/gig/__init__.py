"""One gig for the band: its details, status, links for the house, history, answers known from before, and what the
night taught.
"""
