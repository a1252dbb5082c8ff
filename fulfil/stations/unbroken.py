"""Codes, names and options of a page are never broken at their hyphens, however narrow the screen.

A browser may break a line after any hyphen or slash: ``clerk-1`` then reads as ``clerk-`` and ``1``, ``--out`` as two
dashes and a word. Whoever reads that from a phone types or says something else. So each word with a hyphen or a slash
and a capital or a digit, each option with its value and each figure with its unit stands in an element of its own that
goes to the next line whole; one that is wider than the screen is broken inside all the same.

>>> unbroken("<p>Order WEB-7-A waits for its re-check.</p>")
'<p><x-text>Order <x-code>WEB-7-A</x-code> waits for its re-check.</x-text></p>'
>>> unbroken("<kbd>fulfil papers print --out papers</kbd>")
'<kbd><x-text>fulfil papers print <x-code>--out papers</x-code></x-text></kbd>'
>>> unbroken("<p>11.82 to 11.98 g, screw M3 x 8 mm.</p>")
'<p><x-text>11.82 to <x-code>11.98 g,</x-code> screw M3 x <x-code>8 mm.</x-code></x-text></p>'

Titles, choices of a list and words in a drawing hold text only, and stay as they are:

>>> unbroken('<option value="03R-02-4">03R-02-4</option><b>plain words</b>')
'<option value="03R-02-4">03R-02-4</option><b>plain words</b>'

The text around is held together too (``x-text``), or a button that lays out its words in a row would take each piece
for one. Both elements are names without a meaning (custom elements, HTML Living Standard 4.13); the style sheet places
them. Limits: the page must escape ``>`` in what it shows, as every template does.
"""

import re

_TEXT = re.compile(r"(<(?:title|option|text|style|script)\b[^>]*>[^<]*)|(?<=>)([^<>]*(?:[-/]|\d )[^<>]*)(?=<)")
_CODE = re.compile(
    r"(?<!\S)(?:--[a-z][\w-]*(?: (?!-)[^\s<>]+)?"
    r"|[^\s<>]*\w[-/][^\s<>]*\w[^\s<>]*"
    r"|[^\s<>]*\d (?:mm|m|g|kg|ml|%)(?![^\W_])[^\s<>]*)"
)


def unbroken(page: str) -> str:
    """The page with its codes held together."""
    return _TEXT.sub(lambda found: found[1] or _held(found[2]), page)


def _held(text: str) -> str:
    held = _CODE.sub(lambda found: f"<x-code>{found[0]}</x-code>" if _is_code(found[0]) else found[0], text)
    return text if held == text else f"<x-text>{held}</x-text>"


def _is_code(word: str) -> bool:
    return word.startswith("--") or any(sign.isdigit() or sign.isupper() for sign in word)
