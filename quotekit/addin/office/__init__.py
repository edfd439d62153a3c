"""Runs inside LibreOffice, in its own Python: the standard library and the office's own modules, nothing else.

In the extension this folder is the package `quotekit_office`; its modules import each other with a leading dot.
"""
