"""Of a kit of which some parts were sent and the rest is cancelled, the line says so."""

from collections import defaultdict

import sqlalchemy as sa
from alembic import op

revision = "0017"
down_revision = "0016"
branch_labels = None
depends_on = None

_BALANCES = "SELECT order_number, line_no, part_number, place, pieces FROM owed_balance"
_LINES = "SELECT order_number, line_no, pieces, cancelled_pieces FROM order_line"
_SET = "UPDATE order_line SET cancelled_pieces = :cancelled WHERE order_number = :number AND line_no = :line_no"


def upgrade() -> None:
    """Cancelled kits are those that are settled and were not sent whole, no longer those of which no part was sent."""
    connection = op.get_bind()
    totals: dict[tuple[str, int], dict[str, int]] = defaultdict(lambda: defaultdict(int))
    places: dict[tuple[str, int, str, str], int] = defaultdict(int)
    for number, line_no, part, place, pieces in connection.execute(sa.text(_BALANCES)):
        totals[number, line_no][part] += pieces
        places[number, line_no, part, place] += pieces
    changed = []
    for number, line_no, pieces, said in connection.execute(sa.text(_LINES)).all():
        parts = totals[number, line_no]
        if len(parts) < 2:
            continue
        per = {part: n // pieces for part, n in parts.items()}
        sent = {part: places[number, line_no, part, "shipped"] for part in parts}
        settled = min((sent[part] + places[number, line_no, part, "cancelled"]) // n for part, n in per.items())
        cancelled = settled - min(sent[part] // n for part, n in per.items())
        if cancelled != said:
            changed.append({"number": number, "line_no": line_no, "cancelled": cancelled})
    if changed:
        connection.execute(sa.text(_SET), changed)
