"""The database: one file per aggregate, with its table, its queries and the way to and from the core's words."""
