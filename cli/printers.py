"""``fulfil printers``: say which printers there are, what lies in them, which papers go to them."""

from pathlib import Path

import click

from .frame import Answer, Ask, Noun, command, folder_option, table


@click.group(cls=Noun)
def printers() -> None:
    """Say which printers there are, what lies in them, which papers go to them."""


@command(
    printers,
    "set",
    "fulfil printers set labels-1 --dpi 203 --media 60x40 --prints bag-labels --drawn-as zpl "
    "--sends-to 'socket 192.0.2.7:9100'",
)
@click.argument("name", metavar="NAME")
@click.option("--dpi", type=click.IntRange(100, 2400), required=True, help="Its resolution, dots per inch.")
@click.option(
    "--media",
    required=True,
    help="What lies in it: A4, Letter, a label as 60x40, or a sheet as '60x40 on A4: 3 x 6 at 10,12 step 65,45' (mm).",
)
@click.option(
    "--prints", "papers", default="", help="What goes to it, by file names: 'bag-labels customs-cn22'; none: the rest."
)
@click.option(
    "--drawn-as",
    "language",
    type=click.Choice(["pdf", "picture", "zpl", "epl", "tspl"]),
    default="pdf",
    show_default=True,
    help="Drawn as PDF, or as dots: a picture in PDF, or a label printer's graphics command.",
)
@click.option(
    "--sends-to",
    default="folder",
    show_default=True,
    help="folder, nobody, 'queue NAME', 'queue NAME both-sides' or 'socket HOST:PORT'.",
)
@click.option(
    "--shift-right", "right_mm", type=float, default=0.0, help="Moves dots to the right, in mm, may be negative."
)
@click.option("--shift-down", "down_mm", type=float, default=0.0, help="Moves dots down, in mm, may be negative.")
def set_(
    ask: Ask,
    name: str,
    dpi: int,
    media: str,
    papers: str,
    language: str,
    sends_to: str,
    right_mm: float,
    down_mm: float,
) -> Answer:
    """Adds a printer, or says anew all that is known of it. 'fulfil printers calibrate' finds its shift."""
    from fulfil.records.equipment import PrinterRecord
    from fulfil.shop.printers import set_printer

    printer = PrinterRecord(
        name=name,
        dpi=dpi,
        media=media,
        papers=" ".join(papers.replace(",", " ").split()),
        language=language,
        sends_to=sends_to,
        right_mm=right_mm,
        down_mm=down_mm,
    )
    with ask.shop() as shop:
        set_printer(shop, printer, at=ask.at, person=ask.person)
    said = printer.papers or "every paper that no other printer has"
    return Answer([f"Printer {name}: {dpi} dpi, {media}; gets {said}."], {"printer": printer.model_dump(mode="json")})


@command(printers, "calibrate", "fulfil printers calibrate labels-1 --out papers")
@click.argument("name", metavar="NAME")
@folder_option
def calibrate(ask: Ask, name: str, out: Path) -> Answer:
    """Prints a label printer's calibration label: a frame to measure, bars on its own dots."""
    from fulfil.files.written import write_all
    from fulfil.records.equipment import PrinterRecord
    from fulfil.shop.calibrating import calibration_for
    from fulfil.shop.sending import send

    with ask.shop() as shop, shop.reading() as books:
        printing = calibration_for(books.need(PrinterRecord, name))
    (path,) = write_all(out, {printing.name: printing.content})
    then = f"Measure from the label's left and upper edge to the frame: fulfil printers shift {name} LEFT_MM TOP_MM"
    return Answer([send(path, printing.goes_to), then], {"papers": [str(path)], "printer": name})


@command(printers, "shift", "fulfil printers shift labels-1 3.2 1.5")
@click.argument("name", metavar="NAME")
@click.argument("left_mm", metavar="LEFT_MM", type=click.FloatRange(0, 200))
@click.argument("top_mm", metavar="TOP_MM", type=click.FloatRange(0, 200))
def shift(ask: Ask, name: str, left_mm: float, top_mm: float) -> Answer:
    """Moves a label printer's dots by what was measured on its calibration label, from its edges to the frame."""
    from fulfil.shop.calibrating import shift_printer

    with ask.shop() as shop:
        printer = shift_printer(shop, name, from_left_mm=left_mm, from_top_mm=top_mm, at=ask.at, person=ask.person)
    said = f"Printer {name}: dots are moved {printer.right_mm:+.1f} mm to the right, {printer.down_mm:+.1f} mm down."
    again = f"Print the label again to see it: fulfil printers calibrate {name}"
    return Answer([said, again], {"printer": printer.model_dump(mode="json")})


@command(printers, "list", "fulfil printers list")
def list_(ask: Ask) -> Answer:
    """Lists the printers in use."""
    from fulfil.shop.printers import printers_of

    with ask.shop() as shop, shop.reading() as books:
        found = printers_of(books)
    rows = [(one.name, one.dpi, one.media, one.papers or "the rest", one.language, one.sends_to) for one in found]
    heads = ("printer", "dpi", "media", "papers", "language", "sends to")
    shown = table(rows, heads) if rows else ["No printer is set: papers are printed into folders, as the settings say."]
    return Answer(shown, {"printers": [one.model_dump(mode="json") for one in found]})


@command(printers, "retire", "fulfil printers retire labels-1")
@click.argument("name", metavar="NAME")
def retire(ask: Ask, name: str) -> Answer:
    """Takes a printer out of use; its papers go to others."""
    from fulfil.shop.printers import retire_printer

    with ask.shop() as shop:
        retire_printer(shop, name, at=ask.at, person=ask.person)
    return Answer([f"Printer {name} is out of use."], {"printer": name})
