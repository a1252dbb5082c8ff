"""The style sheet by WCAG 2.2: contrast of every pair of colours, by day and by night, and the size of what is touched.

Relative luminance and contrast ratio as WCAG 2.2 defines them; checked on its own anchor, black on white is 21:1.
"""

import re

import pytest

from fulfil.stations.server import FILES

CSS = FILES["station.css"].decode()
TEXT, GRAPHIC = 4.5, 3.0
"""Success criteria 1.4.3 (text) and 1.4.11 (what is drawn, and the edges of what is touched)."""
PAIRS = [
    ("ink", "ground", TEXT), ("soft", "ground", TEXT), ("ink", "panel", TEXT), ("ink", "key", TEXT),
    ("on-go", "go", TEXT), ("on-passed", "passed", TEXT), ("on-recount", "recount", TEXT), ("on-look", "look", TEXT),
    ("on-stop", "stop", TEXT), ("on-warn", "warn", TEXT), ("edge", "ground", GRAPHIC), ("look", "ground", GRAPHIC),
    ("stop", "ground", GRAPHIC), ("recount", "ground", GRAPHIC), ("go", "ground", GRAPHIC), ("stop", "key", GRAPHIC),
]  # fmt: skip
ROOT_PX = 16


def colours(night: bool) -> dict[str, str]:
    """The sheet's colours by name."""
    day, dark = re.findall(r":root \{(\s+--[^}]+)\}", CSS)[:2]
    found = dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6})", day))
    return found | dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6})", dark)) if night else found


def contrast(one: str, other: str) -> float:
    """The ratio of two colours."""

    def luminance(colour: str) -> float:
        parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
        red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_the_ratio_is_the_published_one():
    """Black on white."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") < TEXT < contrast("#767676", "#ffffff")


@pytest.mark.parametrize("night", [False, True], ids=["day", "night"])
@pytest.mark.parametrize(("ink", "ground", "least"), PAIRS)
def test_every_pair_can_be_read(ink, ground, least, night):
    """By day and by night."""
    named = colours(night)

    assert contrast(named[ink], named[ground]) >= least


def test_every_colour_is_named_once_for_the_day_and_once_for_the_night():
    """No rule has a colour of its own."""
    assert set(colours(False)) == set(re.findall(r"var\(--([\w-]+)\)", CSS)) | {"on-go"}
    body = CSS[CSS.index("* { box-sizing") :]
    assert re.findall(r"#[0-9a-fA-F]{3,8}\b", body) == []


def test_what_is_touched_is_large_enough():
    """44 px (WCAG 2.2, 2.5.5); every rule that says a size of a button says at least that."""
    sizes = [float(rem) * ROOT_PX for rem in re.findall(r"min-height: ([\d.]+)rem", CSS)]

    assert "button, input, .go, .mark { min-height: 3rem; min-width: 3rem;" in CSS
    assert min(sizes) >= 44


def test_what_must_be_read_from_two_metres_is_large_enough_on_a_tablet():
    """At 820 px: 16 minutes of arc at 2 m are 9.3 mm of a capital's height (ISO 9241-303, from memory: at least 16').

    A capital is 0.7 of its type size, and a CSS pixel is 25.4/96 mm.
    """
    for name in ("word", "pieces", "looks"):
        low, vw, high = re.search(
            rf"\.{name} {{ font-size: clamp\(([\d.]+)rem, ([\d.]+)vw, ([\d.]+)rem\)", CSS
        ).groups()
        type_px = min(max(float(low) * ROOT_PX, 8.2 * float(vw)), float(high) * ROOT_PX)
        assert 0.7 * type_px * 25.4 / 96 >= 9.3, name
