"""The trade's words in a house's spec, one file a language: what each *concept* that the rules ask for is called there.

To teach the reader a word, add it to its concept's line; accents, hyphens and capitals do not matter, an English,
German or Dutch plural need not be listed, and a word grown together of two known ones is found by itself. A trailing
star stands for any ending.
"""
