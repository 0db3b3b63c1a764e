"""Emails: what they say, the job that sends them, and the pages about them."""
