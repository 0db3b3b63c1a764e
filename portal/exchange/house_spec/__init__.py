"""Reads a house's own spec, text or PDF, and proposes answers with the words of the text that they rest on.

Nothing is taken: a person confirms. The way of a text: ``given`` (bytes to text), ``layout`` (rows, cells, columns),
``scanning`` and ``vocabulary`` (words to concepts, by one table a language in ``words``), ``measuring`` (numbers with
units to quantities), ``statements`` (sentences with the headings they stand under), then one file of rules for each
kind of fact, and ``reader``, which compares what was found. Each step is linear in the text.
"""
