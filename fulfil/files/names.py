"""What a file is called when its name comes from somebody else's number: always one name in one folder.

>>> file_name("W2603020001-pick-list.pdf"), file_name("../x.pdf"), file_name("/etc/x.pdf"), file_name("A%1.pdf")
('W2603020001-pick-list.pdf', '..%2Fx.pdf', '%2Fetc%2Fx.pdf', 'A%251.pdf')

What a path or a disk would take for something else is written as in RFC 3986, 2.1 (the percent sign too, so that no two
numbers share a file); a name that is too long for a disk is cut, and a digest keeps it apart from others.
"""

import unicodedata
from hashlib import sha256
from urllib.parse import quote

LONGEST_BYTES = 200
"""Of a name; most disks take 255, and a temporary name is longer."""
_NO_NAME = frozenset('/\\<>:"|?*%')
"""Separators, and what POSIX or Windows keep for themselves (common practice: portable file names)."""


def file_name(text: str) -> str:
    """A name for one file: the same text always gives the same name, another text another one."""
    name = "".join(quote(each, safe="", errors="surrogatepass") if _is_taken(each) else each for each in text)
    if name.strip(".") == "":
        name = name.replace(".", "%2E")
    if len(name.encode()) <= LONGEST_BYTES:
        return name
    kept = name.encode()[: LONGEST_BYTES - 40].decode(errors="ignore")
    ending = name[-8:] if "." in name[-8:] else ""
    return f"{kept}-{sha256(name.encode()).hexdigest()[:24]}{ending[ending.find('.') :]}"


def _is_taken(character: str) -> bool:
    return character in _NO_NAME or unicodedata.category(character) in ("Cc", "Cf", "Cs")
