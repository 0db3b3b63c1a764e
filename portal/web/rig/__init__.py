"""The band's rigs: rows, topics, wiring, reading a rig from text or a file, and its revisions."""
