"""A command asked again with its own key is not done twice: it says what was done the first time.

For whoever lost the answer (a terminal that was closed, a script that was killed): ``--key`` is written in the
transaction of the step itself (:mod:`fulfil.bench.once`), the answer after it.
"""

import json
from collections.abc import Callable
from dataclasses import replace

from .asking import Answer, Ask
from .saying import json_text

STATION = "commands"
"""Under which name the keys of commands are kept; a station has keys of its own."""
_LOST = "This was done before; its answer was lost. See: fulfil journal show"


def done_once(ask: Ask, key: str, asked: str, do: Callable[[Ask], Answer]) -> Answer:
    """What a command answers, done now or kept from before.

    Raises:
        StateRefused: the key is none, or was used for something else.
    """
    from fulfil.bench.once import once
    from fulfil.store.shop import Shop

    def step(there: Shop) -> str:
        done = do(replace(ask, opened=there))
        said = {"lines": done.lines, "facts": done.facts, "act": done.must_act, "unprinted": done.not_printed}
        return json_text(said)

    with ask.shop() as shop:
        text, is_kept = once(shop, STATION, key, asked, step, at=ask.at, person=ask.person, is_named=False)
    if not text:
        return Answer([_LOST], {"done_before": True}, must_act=True)
    said = json.loads(text)
    lines = [f"Done before with key {key}; this was the answer:", *said["lines"]] if is_kept else said["lines"]
    return Answer(lines, said["facts"] | {"done_before": is_kept}, said["act"], said["unprinted"])
