"""What comes along and what stays at home: cables, stands, bags, and what goes back after the gig."""
