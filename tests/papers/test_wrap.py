"""Wrapping and fitting by measured width."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import PaperRefused
from fulfil.papers.faces import Face, width_mm
from fulfil.papers.ink import Text, above
from fulfil.papers.wrap import fitting_paragraphs, fitting_size, led_paragraph, lines, shortened

WORDS = st.text(st.sampled_from("abcWMł–0 "), max_size=120)


@given(WORDS, st.floats(8, 120))
def test_wrapping_keeps_every_character_and_the_width(text, width):
    """No line is wider than asked, and the lines hold all that was not white space, in order."""
    made = lines(text, Face.TEXT, 10, width)

    assert "".join("".join(made).split()) == "".join(text.split())
    assert all(width_mm(line, Face.TEXT, 10) <= width for line in made)


@given(st.text(st.sampled_from("ABC-019"), min_size=1, max_size=40), WORDS, st.floats(12, 120))
def test_a_led_paragraph_keeps_code_and_text_inside_its_width(lead, text, width):
    """Code and text are whole, in order, and inside the width."""
    marks = [mark for part in led_paragraph(lead, text, 10, width).parts for mark in part.marks]

    assert all(isinstance(mark, Text) for mark in marks)
    assert "".join("".join(mark.text.split()) for mark in marks) == lead + "".join(text.split())
    assert all(mark.x_mm + width_mm(mark.text, mark.face, 10) <= width + 1e-9 for mark in marks)


@given(WORDS, st.floats(10, 60), st.integers(1, 3))
def test_a_shortened_text_says_that_it_is_shortened(text, width, most):
    """It has at most so many lines; either all of the text is there, or it ends with an ellipsis."""
    made = shortened(text, Face.TEXT, 8, width=width, most_lines=most)

    assert len(made) <= most
    whole = "".join(text.split())
    kept = "".join("".join(made).split())
    assert kept == whole or (kept.endswith("…") and whole.startswith(kept[:-1]))
    assert all(width_mm(line, Face.TEXT, 8) <= width for line in made)


def test_what_does_not_fit_in_seven_points_is_refused_with_the_text():
    """A number that can't be printed large enough is refused, not shrunk away."""
    with pytest.raises(PaperRefused) as refused:
        fitting_size("1234567890", Face.BOLD, 10, least_pt=7, width=5)

    assert str(refused.value) == (
        "Cannot print on one line '1234567890': expected 5 mm at 7 pt to be enough; shorten it."
    )


def test_an_address_that_does_not_fit_is_refused_whole():
    """No address line is dropped to make the others fit."""
    with pytest.raises(PaperRefused, match="Cannot fit 'a / b / c'"):
        fitting_paragraphs(("a", "b", "c"), Face.TEXT, 10, least_pt=8, width=50, height=5)


def test_blocks_stack_to_the_sum_of_their_heights():
    """Stacking adds heights."""
    one = led_paragraph("A", "b", 10, 50)

    assert above(one, one).height_mm == pytest.approx(2 * one.height_mm)
