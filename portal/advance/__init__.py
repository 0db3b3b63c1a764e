"""What is done with one gig, without web: plan it, compare revisions, say its status and open tasks, and collect what
its documents need. Screens and jobs call it; it knows neither addresses nor requests.
"""
