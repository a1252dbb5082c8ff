"""For which risks a shop's windows are made, as the sentence that its papers say.

>>> risk_statement(Settings(risk_pass=0.001, risk_reject=0.002)).split(", ")[1]
'and a right bag is sent back at most 0.20 % of the time.'
"""

from fulfil.records.settings import Settings


def risk_statement(settings: Settings) -> str:
    """For which risks the windows were made."""
    return (
        "Windows are made so that a bag one piece short or over passes at most "
        f"{settings.risk_pass * 100:.2f} % of the time, and a right bag is sent back at most "
        f"{settings.risk_reject * 100:.2f} % of the time."
    )
