"""Who is who: signing up and in, the band's members, recovery, and what an account or a gig's data hold to take along
or erase.
"""
