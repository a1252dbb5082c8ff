"""When the program itself fails: one sentence, and a report that can be sent, since nobody's data is in it."""

import platform
import sys
import tempfile
import traceback
from datetime import UTC, datetime
from hashlib import sha256
from importlib.metadata import version
from pathlib import Path


def report_fault(trouble: Exception) -> str:
    """Writes the report and gives the sentence that names it.

    In it are the kinds of the errors and where in the program they arose; no message, argument or value, which could
    hold a name, an address or a password. A digest of the message tells two faults apart.
    """
    lines = [
        "A fault of fulfil. This report holds no data of the shop: no values, names, numbers or arguments.",
        f"fulfil {version('fulfil')}, Python {platform.python_version()}, {platform.system()} {platform.machine()}",
    ]
    one: BaseException | None = trouble
    while one is not None:
        kind = f"{type(one).__module__}.{type(one).__qualname__}"
        lines += ["", f"{kind} (message {sha256(str(one).encode('utf-8', 'replace')).hexdigest()[:8]})"]
        lines += [
            f"  {'/'.join(Path(frame.filename).parts[-3:])}, line {frame.lineno}, in {frame.name}"
            for frame in traceback.extract_tb(one.__traceback__)
        ]
        one = one.__cause__ or one.__context__
    return f"A fault of the program: {_kept(lines)}. What was confirmed before stays; the step that failed is undone."


def _kept(lines: list[str]) -> str:
    at = datetime.now(UTC)
    try:
        with tempfile.NamedTemporaryFile(
            "w", encoding="utf-8", prefix=f"fulfil-fault-{at:%Y%m%dT%H%M%SZ}-", suffix=".txt", delete=False
        ) as file:
            file.write("\n".join(lines) + "\n")
    except OSError:
        sys.stderr.write("\n".join(lines) + "\n")
        return "its report is above, for whoever looks after it"
    return f"send {file.name} to whoever looks after it"
