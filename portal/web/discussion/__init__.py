"""What both sides say about a gig and its lines: comments, proposals and what was agreed."""
