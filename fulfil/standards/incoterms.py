"""Terms of delivery: the eleven rules of Incoterms 2020 and the place that each is written with.

Incoterms 2020, International Chamber of Commerce (publication 723E): seven rules for any mode of transport, four only
for carriage by sea and inland waterway. A rule is written with its code and a named place; which party's side that
place lies on follows from the rule (quoted from memory, the text of the rules isn't free).

>>> parse("dap"), is_named_at_destination("DAP"), is_named_at_destination("FCA")
('DAP', True, False)
>>> written("DAP", "Namibia")
'DAP Namibia (Incoterms 2020)'
>>> parse("FOB")
Traceback (most recent call last):
    ...
fulfil.errors.CodeRefused: Cannot use the terms of delivery 'FOB': expected EXW, FCA, CPT, CIP, DAP, DPU or DDP; FOB is for carriage by sea and inland waterway only.

Limits: a code says who carries cost and risk to where; contract, insurance and duties are the shop's own business.
"""  # noqa: E501 - a refusal is one sentence

from fulfil.errors import CodeRefused

ANY_MODE = ("EXW", "FCA", "CPT", "CIP", "DAP", "DPU", "DDP")
"""Rules for any mode of transport, parcels and post among them."""

SEA_ONLY = ("FAS", "FOB", "CFR", "CIF")
"""Rules for carriage by sea and inland waterway."""

_AT_SELLER = ("EXW", "FCA")


def parse(text: str) -> str:
    """The code in capitals.

    Raises:
        CodeRefused: no rule of 2020, or one that is for ships only.
    """
    code = text.strip().upper()
    if code in ANY_MODE:
        return code
    expected = f"{', '.join(ANY_MODE[:-1])} or {ANY_MODE[-1]}"
    if code in SEA_ONLY:
        expected += f"; {code} is for carriage by sea and inland waterway only"
    elif code == "DAT":
        expected += "; DPU has taken the place of DAT"
    raise CodeRefused("use the terms of delivery", text, expected)


def is_named_at_destination(code: str) -> bool:
    """Whether the rule's place lies at the destination: the place of delivery, or the one to which carriage is paid."""
    return parse(code) not in _AT_SELLER


def written(code: str, place: str) -> str:
    """The terms as a document says them."""
    return f"{parse(code)} {place} (Incoterms 2020)"
