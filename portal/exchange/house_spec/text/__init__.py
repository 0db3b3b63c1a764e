"""Bytes to sentences: what a spec's text says, before anything is made of it."""
