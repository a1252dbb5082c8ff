"""In which encoding a file is: a byte order mark decides, then what is valid UTF-8, then the words that come out.

A file in an old code page doesn't say which. Code pages differ in a few letters only, and a statistical detector mistakes
them in a short file; so each word that isn't ASCII must be made of the letters of *one* language
(``Dvořák`` is Czech, ``Dvoøák`` is nothing), and the page in which most words are wins; on a tie the first of
``PAGES``. Other scripts than Latin, Cyrillic and Greek are left to the detector (charset-normalizer). Whatever was found
is said in a note with a word of the file, and a caller who knows better names the encoding.

>>> found = detected("Straße;Jiří\\n".encode("cp1250"))
>>> found.name, found.is_told, found.words
('cp1250', False, ('Straße', 'Jiří'))
>>> detected("Москва;Улица;Город;Пример\\n".encode("koi8_r")).name
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
    most = 0.0
    for page in PAGES:
        try:
            words = _words(raw.decode(page))
        except UnicodeDecodeError:
            continue
        share = sum(map(_is_a_word, words)) / len(words) if words else 0.0
        if share > most:
            best, most = Encoding(page, is_told=False, words=words[:3]), share
    return best if most >= _ENOUGH else _other(raw, best)


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


def _is_a_word(word: str) -> bool:
    foreign = {letter for letter in word if not letter.isascii()} - set(_SIGNS)
    inside = "" if word.isupper() else word[1:]
    shouts = any(letter.isupper() and not letter.isascii() for letter in inside)
    return not shouts and any(foreign <= letters for letters in _LETTERS)
