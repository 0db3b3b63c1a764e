"""One file of rules for each kind of fact that a spec states."""
