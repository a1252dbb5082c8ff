"""Tables of people and stations: who may do what, at which device, and what each device was answered."""

from sqlalchemy import Index

from fulfil.records.station import Person, SigningKey, Station, StationAnswer
from fulfil.store.columns import whole
from fulfil.store.row import MOST, Row, key


class PersonRow(Row, Person, table=True):
    """People, by the name on their badge."""

    __tablename__ = "person"
    __table_args__ = (whole("wrong_pins", 0, MOST),)
    name: str = key()


class StationRow(Row, Station, table=True):
    """Stations, by name."""

    __tablename__ = "station"
    __table_args__ = (Index(None, "token_digest"), Index(None, "pairing_digest"))
    name: str = key()


class StationAnswerRow(Row, StationAnswer, table=True):
    """Answers, by station and key."""

    __tablename__ = "station_answer"
    __table_args__ = (Index(None, "at"),)
    station: str = key()
    key: str = key()


class SigningKeyRow(Row, SigningKey, table=True):
    """The shop's secret, by name."""

    __tablename__ = "signing_key"
    name: str = key()
