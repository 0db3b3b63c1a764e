"""Rows of a rig and what they are led by: one at a time, and as one sheet."""
