"""Reads a house's own spec, text or PDF, and proposes answers with the words of the text that they rest on.

Nothing is taken: a person confirms. The way of a text, in ``text``: ``given`` (bytes to text), ``layout`` (rows, cells,
columns), ``scanning`` and ``vocabulary`` (words to concepts, by one table a language in ``words``), ``measuring``
(numbers with units to quantities), ``statements`` (sentences with the headings they stand under). Then one file of
rules for each kind of fact in ``facts``, and ``reader``, which compares what was found. Each step is linear.
"""
