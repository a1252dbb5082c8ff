"""Tables of the scales' check-weight tests and alarms."""

from datetime import datetime

from fulfil.records.weighing import ScaleAlarm, ScaleStanding
from fulfil.store.columns import Moment, not_negative
from fulfil.store.row import Row, key


class ScaleStandingRow(Row, ScaleStanding, table=True):
    """The last test of each scale, by its code; every single reading stays among the weighings."""

    __tablename__ = "scale_standing"
    __table_args__ = (*not_negative("worst_share"),)
    scale_code: str = key()


class ScaleAlarmRow(Row, ScaleAlarm, table=True):
    """Alarms of scales, by scale and from when on."""

    __tablename__ = "scale_alarm"
    scale_code: str = key()
    since: datetime = key(Moment())
