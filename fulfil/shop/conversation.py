"""Questions one after the other, each answer checked before the next is asked, and nothing lost by a mistake.

A *script* is a generator: it yields a :class:`Question` and is sent what its answer means. The conversation keeps the
answers as they were typed, by the questions' keys; going back, changing one answer, going on tomorrow and reading all
of them from a file are the same thing: the script is run again over the answers that are kept.

>>> def script():
...     name = yield Question("name", "Who is it?", read=str.title)
...     pieces = yield Question("pieces", f"How many for {name}?", read=_whole, default="1")
...     return f"{name} {pieces}"
>>> asked = Conversation(script, {"pieces": "two"})
>>> asked.enter("ann")
>>> asked.question.key, asked.trouble
('pieces', "Cannot read pieces 'two': expected a whole number from 1 to 999999999.")
>>> asked.enter(""); asked.result
'Ann 1'
>>> asked.reopen("name")
True
>>> asked.enter("bea"); asked.result
'Bea 1'

An answer that may be right and looks wrong is *doubted*: it is asked for once more, and the same answer again is taken.
"""

from collections.abc import Callable, Generator, Mapping
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from fulfil.errors import Refusal
from fulfil.quantities import parse_pieces

T = TypeVar("T")


EMPTY = "-"
"""What empties an answer that may be empty."""


def _undoubted(_: Any) -> str:
    return ""


def _whole(text: str) -> int:
    return parse_pieces(text)


@dataclass(frozen=True)
class Question:
    """One question.

    Attributes:
        key: its name among the answers; no two of a script are alike.
        asks: the sentence.
        read: what an answer means; a refusal says why it can't be taken.
        default: what an empty answer stands for; None where an answer is needed.
        shows: lines to look at before.
        doubts: a sentence where a readable answer looks wrong, else empty.
        offers: after an answer that wasn't taken, lines to choose from.
        stand_in: what the script goes on with where all faults of given answers are wanted at once.
        is_kept: whether the answer is kept; the last one, which only says yes, is not.
    """

    key: str
    asks: str
    read: Callable[[str], Any] = str
    default: str | None = None
    shows: tuple[str, ...] = ()
    doubts: Callable[[Any], str] = _undoubted
    offers: Callable[[str], tuple[str, ...]] = lambda _: ()
    stand_in: Any = ""
    is_kept: bool = True


Script = Generator[Question, Any, T]


class Conversation(Generic[T]):
    """A script with the answers given so far: the question asked now, why the last answer wasn't taken, the result.

    ``is_doubted``: the last answer can be read and looks wrong; the same one again is taken.
    """

    def __init__(self, script: Callable[[], Script[T]], answers: Mapping[str, str] | None = None) -> None:
        self.question: Question | None = None
        self.result: T | None = None
        self.trouble = ""
        self.is_doubted = False
        self.offered: tuple[str, ...] = ()
        self.asked: list[str] = []
        self._script = script
        self._answers = dict(answers or {})
        self._before: dict[str, str] = {}
        self._doubted: tuple[str, str] = ("", "")
        self._run()

    @property
    def answers(self) -> dict[str, str]:
        """The answers as typed, those of the questions asked first, in their order."""
        asked = {key: self._answers[key] for key in self.asked if key in self._answers}
        return asked | {key: text for key, text in self._answers.items() if key not in asked}

    def suggestion(self) -> str | None:
        """What an empty answer stands for now: the answer of before, else the question's default."""
        if self.question is None:
            return None
        return self._before.get(self.question.key, self.question.default)

    def enter(self, text: str) -> None:
        """The answer to the question that is asked; an answer that can't be taken is asked for again."""
        asked = self.question
        if asked is None:
            return
        self.trouble, self.is_doubted, self.offered = "", False, ()
        self._run()  # what the questions are made of may have changed since they were asked: a file that was corrected
        question = self.question
        if question is None or question.key != asked.key:
            return
        text = text.strip() or self.suggestion() or ""
        if text == EMPTY and question.default == "":
            text = ""
        if not text and question.default is None:
            self.trouble = "An answer is needed here."
            return
        try:
            meant = question.read(text)
        except Refusal as refusal:
            self.trouble, self.offered = str(refusal), question.offers(text)
            return
        doubt = question.doubts(meant)
        if doubt and self._doubted != (question.key, text):
            self._doubted = (question.key, text)
            self.is_doubted = True
            self.trouble = f"{doubt} Type it again to keep it."
            return
        self._answers[question.key] = text
        self._run()

    def back(self) -> bool:
        """Asks the last question again; False at the first one."""
        answered = [key for key in self.asked if self.question is None or key != self.question.key]
        return bool(answered) and self.reopen(answered[-1])

    def reopen(self, key: str) -> bool:
        """Asks a question again that has its answer; those of all others stay. False where it has none."""
        if key not in self._answers:
            return False
        self._before[key] = self._answers.pop(key)
        self._run()
        return True

    def at_once(self) -> tuple[T | None, list[tuple[str, str, str]]]:
        """The result of the answers that there are, or everything that is wrong with them: (key, answer, why).

        Why says on lines of their own what a person at the keyboard is offered: findings, or parts to choose from.

        A question that nobody answered has its default from now on, or is a fault; nothing is doubted. After a
        fault the script goes on with the question's stand-in.
        """
        found: list[tuple[str, str, str]] = []
        script = self._script()
        try:
            question = next(script)
            while True:
                question = script.send(self._meant(question, found))
        except StopIteration as done:
            return (None if found else done.value), found

    def _meant(self, question: Question, found: list[tuple[str, str, str]]) -> Any:
        text = self._answers.get(question.key, question.default)
        if text is None or (not text and question.default is None):
            found.append((question.key, "", "an answer is needed"))
            return question.stand_in
        if question.is_kept:
            self._answers[question.key] = text
        try:
            return question.read(text)
        except Refusal as refusal:
            found.append((question.key, text, "\n    ".join((str(refusal), *question.offers(text)))))
            return question.stand_in

    def _run(self) -> None:
        """Runs the script over the answers, up to the first question that has none that can be taken."""
        self.question, self.result, self.asked = None, None, []
        script = self._script()
        try:
            question = next(script)
            while True:
                self.asked.append(question.key)
                if question.key not in self._answers:
                    break
                text = self._answers[question.key]
                try:
                    meant = question.read(text)
                except Refusal as refusal:
                    self.trouble, self.offered = str(refusal), question.offers(text)
                    self._before.pop(question.key, None)
                    del self._answers[question.key]
                    break
                if not question.is_kept:
                    del self._answers[question.key]
                question = script.send(meant)
            self.question = question
        except StopIteration as done:
            self.result = done.value
        finally:
            script.close()
