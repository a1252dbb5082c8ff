r"""A form that brings a file along (multipart/form-data, RFC 7578), read by the standard library's MIME parser.

>>> ends, says = b"\r\n", b"Content-Disposition: form-data; name="
>>> field = b"--x" + ends + says + b'"number"' + ends + ends + b"B-7" + ends
>>> file = b"--x" + ends + says + b'"file"; filename="../march.csv"' + ends + ends + b"a;b" + ends + b"--x--" + ends
>>> form, sent = read_form("multipart/form-data; boundary=x", field + file)
>>> form, sent.name, sent.content
({'number': 'B-7'}, 'march.csv', b'a;b')
>>> read_form("text/plain", field + file)
({}, None)

Limits: one file a form; the last one counts.
"""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from email.message import EmailMessage
from email.parser import BytesParser
from email.policy import HTTP
from pathlib import Path
from tempfile import TemporaryDirectory

from fulfil.errors import FileRefused

_MOST_NAME = 60


@dataclass(frozen=True)
class PostedFile:
    """A file as it was sent; its name is one name without any folder."""

    name: str
    content: bytes


def read_form(content_type: str, body: bytes) -> tuple[dict[str, str], PostedFile | None]:
    """The fields of a form, and its file if it has one."""
    if not content_type.lower().startswith("multipart/form-data") or "\n" in content_type:
        return {}, None
    head = f"Content-Type: {content_type}\r\n\r\n".encode("latin-1", "replace")
    message = BytesParser(EmailMessage, policy=HTTP).parsebytes(head + body)
    form: dict[str, str] = {}
    file = None
    for part in message.iter_parts() if message.is_multipart() else ():
        name = str(part.get_param("name", "", header="content-disposition"))
        content = part.get_payload(decode=True)
        if not isinstance(content, bytes):
            continue
        called = part.get_filename()
        if called is None:
            form[name] = content.decode("utf-8", "replace")
        elif content:
            file = PostedFile(plain_name(called), content)
    return form, file


@contextmanager
def written(file: PostedFile | None, tried: str, expected: str) -> Iterator[Path]:
    """The file under its name, in a folder of its own, for as long as it is read.

    Raises:
        FileRefused: no file came along; ``tried`` and ``expected`` say what for.
    """
    if file is None:
        raise FileRefused(tried, "nothing", expected)
    with TemporaryDirectory() as folder:
        path = Path(folder) / file.name
        path.write_bytes(file.content)
        yield path


def plain_name(called: str) -> str:
    """A file's name without folders and without characters that a folder or a paper may stumble over."""
    last = re.split(r"[\\/]", called)[-1]
    return re.sub(r"[^\w.() -]", "_", last).strip(". ")[-_MOST_NAME:] or "file"
