"""The twin of every paper."""

import json

from fulfil.papers import twin
from tests.papers import invented


def _strings(value):
    if isinstance(value, dict):
        for each in value.values():
            yield from _strings(each)
    elif isinstance(value, list):
        for each in value:
            yield from _strings(each)
    elif isinstance(value, str):
        yield value


def test_the_text_says_every_word_of_the_sheet(case):
    """Every text and mass of the sheet is in its plain text."""
    for sheet in case.sheets:
        said = twin.text(sheet)
        whole = json.loads(twin.json_text(sheet))
        whole.pop("route_map", None)
        whole.pop("language", None)
        for word in _strings(whole):
            assert word in said, word


def test_json_has_every_field_and_the_totals():
    """Masses keep their digits as strings, totals are there, days are ISO 8601."""
    sheet = invented.pick_list(3)
    whole = json.loads(twin.json_text(sheet))

    assert whole["paper"] == "Pick list"
    assert whole["day"] == "2025-03-04"
    assert whole["pieces"] == sheet.pieces == 790
    assert whole["stops"][0]["bags"][0]["target_g"] == "68.35"
    assert whole["stops"][0]["side"] == "right"
    assert whole["route_map"]["stops"][0]["number"] == 1
