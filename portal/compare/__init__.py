"""Would another rig serve the band's year better? Rigs made by plain changes, each solved at every gig of a year.

Framework-free: the engine and files, no database and no page. ``solving.py`` alone calls the engine.
"""
