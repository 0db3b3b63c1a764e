"""The gig advance portal: a band's needs and a house's answers become one plan that both sign."""

__version__ = "0.1.0"
