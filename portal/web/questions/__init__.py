"""The questions of a gig, topic by topic, and the answers of both sides."""
