"""What hands do at a scale that is tared: for who fills the bag, and for who checks it.

>>> fill_words(CountMethod.TARE, 50, 1), fill_words(CountMethod.POUR, 500, 5)
('Empty bag on, TARE to 0, fill.', 'Bag on. 5 times: TARE to 0, then pour 100.')
>>> fill_words(CountMethod.POUR, 502, 5)
'Put in 2 by hand. Bag on. 5 times: TARE to 0, then pour 100.'
>>> check_words(CountMethod.TARE, 50, 1), check_words(CountMethod.POUR, 500, 5)
('Empty cup on, TARE to 0, pour the bag in.', 'Cup on. Each time: TARE to 0, pour up to 100, type it.')
>>> fill_words(CountMethod.WEIGH, 50, 1), check_words(CountMethod.HAND, 50, 1)
('', '')
"""

from fulfil.records.plan import CountMethod


def fill_words(method: CountMethod, pieces: int, pours: int) -> str:
    """How to fill a bag that is tared; empty for one that isn't."""
    each, odd = divmod(pieces, pours)
    if method is CountMethod.TARE:
        return "Empty bag on, TARE to 0, fill."
    if method is not CountMethod.POUR:
        return ""
    first = f"Put in {odd} by hand. " if odd else ""
    return f"{first}Bag on. {pours} times: TARE to 0, then pour {each}."


def check_words(method: CountMethod, pieces: int, pours: int) -> str:
    """How to check it: in a cup, so that neither its bag nor what the picker read is believed."""
    if method is CountMethod.TARE:
        return "Empty cup on, TARE to 0, pour the bag in."
    if method is not CountMethod.POUR:
        return ""
    return f"Cup on. Each time: TARE to 0, pour up to {pieces // pours}, type it."
