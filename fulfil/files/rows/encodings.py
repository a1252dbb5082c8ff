r"""In which encoding a file is: a byte order mark decides, then what is valid UTF-8, then the words that come out.

A file in an old code page doesn't say which. Code pages differ in a few letters only, and a statistical detector
mistakes them in a short file; so each word that isn't ASCII must be made of the letters of *one* language (``Dvořák``
is Czech, ``Dvoøák`` is nothing), and the page in which most words are wins; on a tie the one with most words of a
single language, then the first of ``PAGES``. Other scripts than Latin, Cyrillic and Greek are left to the detector
(charset-normalizer). Whatever was found is said in a note with a word of the file, and a caller who knows better names
the encoding.

>>> found = detected("Straße;Jiří\n".encode("cp1250"))
>>> found.name, found.is_told, found.words
('cp1250', False, ('Straße', 'Jiří'))
>>> detected("Москва;Улица;Город;Пример\n".encode("koi8_r")).name
'koi8_r'
>>> detected("ä".encode("utf-16")).name, detected("ä".encode()).name
('utf-16', 'utf-8-sig')

Limits: the letters of the languages are the everyday ones, quoted from memory; a single word can fit several pages.
"""

import re
from dataclasses import dataclass

PAGES = (
    "cp1252", "cp1250", "cp1254", "cp1257", "cp850", "mac_roman", "cp852", "cp1251", "koi8_r", "cp866", "cp1253"
)  # fmt: skip
OTHER_PAGES = ("cp1255", "cp1256", "shift_jis", "euc_jp", "gb18030", "big5", "euc_kr")
_MARKS = (
    (b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe\0\0", "utf-32"), (b"\0\0\xfe\xff", "utf-32"),
    (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"),
)  # fmt: skip
_LETTERS = [
    frozenset(letters + letters.upper())
    for letters in (
        "äöüß", "éèêëàâçîïôùûüœæ", "áéíóúüñ", "àèéìîòóùü", "ãõáâàçéêíóôú", "åäöé", "æøåéòóü", "áðéíóúýþæö", "ëïéèöüó",
        "ąćęłńóśźż", "áčďéěíňóřšťúůýž", "áäčďéíĺľňóôŕšťúýž", "áéíóöőúüű", "čćđšž", "ăâîșțşţ", "çğıöşüâîİ",
        "ąčęėįšųūž", "āčēģīķļņšūž", "äöüõšž", "çë",
        "абвгдеёжзийклмнопрстуфхцчшщъыьэюя", "абвгґдеєжзиіїйклмнопрстуфхцчшщьюя", "абвгдђежзијклљмнњопрстћуфхцчџш",
        "αβγδεζηθικλμνξοπρστυφχψωςάέήίόύώϊϋΐΰ",
    )
]  # fmt: skip
_NOT_LATIN = len(_LETTERS) - 4
"""From here on the alphabets are Cyrillic and Greek: a word of theirs has no Latin letter."""
_SIGNS = "€£°²³µ×–—…“”„‘’«»·•§®©™½¼¾±ªº¿¡\u00a0"
"""Signs that stand in tables and are in no language's alphabet."""
_WORD = re.compile(r"[^\W\d_]*[^\x00-\x7f][^\s,;|\"'.:()/0-9<>-]*")
_ENOUGH = 0.7
_MOST_BYTES = 200_000


@dataclass(frozen=True)
class Encoding:
    """An encoding's name; ``is_told`` by the bytes themselves, else seen from ``words``, a few of the file."""

    name: str
    is_told: bool
    words: tuple[str, ...] = ()


def detected(raw: bytes) -> Encoding:
    """The encoding of a file's bytes by the rule above; UTF-8 where nothing fits, so that the fault is named."""
    for mark, name in _MARKS:
        if raw.startswith(mark):
            return Encoding(name, is_told=True)
    if wide := _without_mark(raw):
        return Encoding(wide, is_told=True)
    try:
        raw.decode("utf-8")
    except UnicodeDecodeError:
        return _old(raw)
    return Encoding("utf-8-sig", is_told=True)


def _without_mark(raw: bytes) -> str:
    """UTF-16 without a mark: every second byte of nearly all is NUL."""
    sample = raw[:2000]
    for name, zeros in (("utf-16-le", sample[1::2]), ("utf-16-be", sample[::2])):
        if len(zeros) >= 4 and zeros.count(0) > 0.8 * len(zeros) and sample.count(0) < 0.6 * len(sample):
            return name
    return ""


def _old(raw: bytes) -> Encoding:
    best = Encoding("utf-8-sig", is_told=True)
    most = (0.0, 0.0)
    for page in PAGES:
        try:
            words = _words(raw.decode(page))
        except UnicodeDecodeError:
            continue
        score = _share(words)
        if score > most:
            best, most = Encoding(page, is_told=False, words=words[:3]), score
    return best if most[0] >= _ENOUGH else _other(raw, best)


def _share(words: tuple[str, ...]) -> tuple[float, float]:
    """How many of the words are of some language, and how many of the one that has most of them."""
    if not words:
        return 0.0, 0.0
    fitting = [_languages(word) for word in words]
    by_language = [sum(place in one for one in fitting) for place in range(len(_LETTERS))]
    return sum(map(bool, fitting)) / len(words), max(by_language) / len(words)


def _other(raw: bytes, else_: Encoding) -> Encoding:
    # Loaded late: few files need it.
    from charset_normalizer import from_bytes

    found = from_bytes(raw[:_MOST_BYTES], cp_isolation=list(OTHER_PAGES)).best()
    if found is None:
        return else_
    try:
        return Encoding(found.encoding, is_told=False, words=_words(raw.decode(found.encoding))[:3])
    except UnicodeDecodeError:
        return else_


def _words(text: str) -> tuple[str, ...]:
    found = (word.strip(_SIGNS) for word in _WORD.findall(text))
    return tuple(dict.fromkeys(word for word in found if word and not word.isascii()))


def _languages(word: str) -> frozenset[int]:
    """The languages, by their place in the list, that have all letters of a word; none with a capital inside it."""
    foreign = {letter for letter in word if not letter.isascii()} - set(_SIGNS)
    inside = "" if word.isupper() else word[1:]
    if any(letter.isupper() and not letter.isascii() for letter in inside):
        return frozenset()
    is_mixed = any(letter.isascii() and letter.isalpha() for letter in word)
    return frozenset(
        place for place, letters in enumerate(_LETTERS) if foreign <= letters and not (is_mixed and place >= _NOT_LATIN)
    )
