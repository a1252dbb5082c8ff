"""Days and times in words that are read alike everywhere: the month is a word, the clock has 24 hours.

>>> day_words(date(2025, 3, 4)), cut_off_words(time(15, 30), "Parcel")
('Tue 4 March 2025', 'packages ready by 15:30 for Parcel')
"""

from datetime import date, time

_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)


def day_words(day: date) -> str:
    """``'Tue 4 March 2025'``, whatever the machine's language."""
    return f"{_DAYS[day.weekday()]} {day.day} {_MONTHS[day.month - 1]} {day.year}"


def cut_off_words(cut_off: time | None, service: str) -> str:
    """``'packages ready by 15:30 for Parcel'``; empty without a cut-off."""
    if cut_off is None:
        return ""
    return f"packages ready by {cut_off:%H:%M}" + (f" for {service}" if service else "")
