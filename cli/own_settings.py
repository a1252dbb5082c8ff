"""What a person set once on this computer: the shop, who they are, where papers go.

A small TOML file (https://toml.io) in the place where the system keeps such files, or where ``FULFIL_SETTINGS`` says.
An option that is typed comes first, then the environment, then this file, then the command's own default. What a *shop*
has set (risks, paper, currency) is in the shop, and comes in with its ``settings.csv``.

>>> sorted(MEANINGS)
['out', 'person', 'shop']
"""

import json
import os
import tomllib
from collections.abc import Mapping
from pathlib import Path

from fulfil.errors import FileRefused, RecordRefused

MEANINGS: Mapping[str, tuple[str, str, str]] = {
    "shop": ("--shop", "FULFIL_SHOP", "the shop's database: a file, or a database URL"),
    "person": ("--by", "FULFIL_PERSON", "who does what is done here"),
    "out": ("--out", "", "the folder for papers, where a command prints them"),
}
"""Each setting: the option that comes before it, the environment's name for it, what it means."""


def where() -> Path:
    """The file, there or not."""
    said = os.environ.get("FULFIL_SETTINGS")
    if said:
        return Path(said)
    from platformdirs import user_config_path

    return user_config_path("fulfil") / "settings.toml"


def read() -> dict[str, str]:
    """What is set; nothing where there is no file.

    Raises:
        FileRefused: the file is no TOML, or holds what isn't a setting.
    """
    path = where()
    try:
        text = path.read_text("utf-8")
    except (FileNotFoundError, NotADirectoryError):
        return {}
    except (OSError, UnicodeDecodeError) as trouble:
        raise FileRefused("read the settings", path, f"a text file in UTF-8 ({trouble})") from None
    try:
        found = tomllib.loads(text)
    except tomllib.TOMLDecodeError as trouble:
        raise FileRefused("read the settings", path, f"TOML ({trouble})") from None
    wrong = [name for name, value in found.items() if name not in MEANINGS or not isinstance(value, str)]
    if wrong:
        raise FileRefused("read the settings", path, f"{', '.join(MEANINGS)}, each a text, but it holds {wrong[0]}")
    return found


def write(name: str, value: str) -> Path:
    """Sets one setting, or takes it out again with an empty value; the others stay.

    Raises:
        RecordRefused: no setting has the name.
    """
    from fulfil.files.written import write_whole

    if name not in MEANINGS:
        raise RecordRefused("set", name, f"one of {', '.join(MEANINGS)}")
    kept = {**read(), name: value}
    lines = [f"{one} = {json.dumps(said, ensure_ascii=False)}\n" for one, said in sorted(kept.items()) if said]
    path = where()
    path.parent.mkdir(parents=True, exist_ok=True)
    write_whole(path, "".join(lines).encode())
    return path


def setting(name: str) -> str:
    """One setting; empty where it isn't set."""
    return read().get(name, "")
