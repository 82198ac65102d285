"""Texts as XML holds them, as `xml.sax.saxutils` of the standard library has it, which loads the web client too."""

from __future__ import annotations


def escaped(text: str) -> str:
    """A text between tags.

    >>> escaped("a < b & c > d")
    'a &lt; b &amp; c &gt; d'
    """
    return text.replace("&", "&amp;").replace(">", "&gt;").replace("<", "&lt;")
