"""What the portal does by itself. The truth is in rows: what is due can always be asked again, so a lost wake-up, a
crash or a restart loses nothing. Each job may be done twice with one effect.
"""
