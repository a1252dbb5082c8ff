"""Tables of the scales' check-weight tests and alarms."""

from datetime import datetime

from fulfil.records.weighing import AlarmedGoods, GoodsAlarm, ScaleAlarm, ScaleStanding
from fulfil.store.columns import Moment, Word, not_negative
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


class GoodsAlarmRow(Row, GoodsAlarm, table=True):
    """Alarms of parts and bag types, by what they are about and from when on."""

    __tablename__ = "goods_alarm"
    kind: AlarmedGoods = key(Word(AlarmedGoods))
    subject: str = key()
    lot: str = key()
    since: datetime = key(Moment())
