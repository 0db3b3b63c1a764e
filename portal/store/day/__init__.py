"""A gig's day: who plays, where they stand, which times moved, what was checked, and the calendars that name it."""
