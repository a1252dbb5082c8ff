"""A link of the chain over what was recorded; see :mod:`fulfil.store.safe.chain`."""

from sqlmodel import Field, SQLModel


class SealLink(SQLModel):
    """What one step recorded: ``covers`` names its rows with their digests, ``digest`` holds them and all before."""

    no: int = Field(ge=1)
    shape: int = Field(ge=1)
    covers: str
    digest: str
