"""Tables of the scales' check-weight tests."""

from fulfil.records.weighing import ScaleStanding
from fulfil.store.columns import not_negative
from fulfil.store.row import Row, key


class ScaleStandingRow(Row, ScaleStanding, table=True):
    """The last test of each scale, by its code; every single reading stays among the weighings."""

    __tablename__ = "scale_standing"
    __table_args__ = (*not_negative("worst_share"),)
    scale_code: str = key()
