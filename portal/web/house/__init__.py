"""What whoever came by a link sees: the way in, and the gig's page for the house."""
