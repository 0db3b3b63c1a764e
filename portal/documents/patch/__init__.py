"""The patch sheet, and what other papers take from it."""
