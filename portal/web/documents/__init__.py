"""The documents of a gig: the list, files and previews, labels, the drawn stage, the code on paper, and the check of a
printed hash.
"""
