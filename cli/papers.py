"""``fulfil papers``: look at papers before they are printed, print samples, a calibration page, bin labels."""

import json
from pathlib import Path

import click

from .frame import Answer, Ask, Noun, command, folder_option, table
from .numbers import WALK


@click.group(cls=Noun)
def papers() -> None:
    """Show papers as pictures or text; print samples, the calibration page, bin labels."""


@command(papers, "show", "fulfil papers show W2603020001 --out walk.png")
@click.argument("document", metavar="FILE_OR_DOCUMENT")
@click.option("--out", type=click.Path(path_type=Path, dir_okay=False), required=True, help="The picture: a .png file.")
@click.option(
    "--page",
    "page",
    type=click.IntRange(min=0),
    default=0,
    help="This page only; else all, numbered -1, -2 … in their names.",
)
@click.option("--dpi", type=click.IntRange(20, 1200), default=150, show_default=True, help="Picture elements per inch.")
@click.option("--colour", "in_colour", is_flag=True, help="Not in grey.")
def show(ask: Ask, document: str, out: Path, page: int, dpi: int, in_colour: bool) -> Answer:
    """Draws a PDF file, or any paper of the shop, as PNG pictures.

    A paper is asked for by the number that stands on it (of a walk, checklist, order, bag, package, manifest, recount
    slip, bin, part …), by its letter and an order's number (N partial-shipment note, V evidence, X pull slip), or by
    name, such as buy-list, count-sheet or day-report; a name that is none is answered with all of them.
    """
    from fulfil.errors import FileRefused
    from fulfil.files.written import write_whole
    from fulfil.papers.preview import pictures

    if out.suffix.lower() != ".png":
        raise FileRefused("draw a picture into", out, "a name that ends in .png")
    path = Path(document)
    if path.suffix.lower() == ".pdf":
        if not path.is_file():
            raise FileRefused("show", path, "a PDF file")
        pdf = path.read_bytes()
    else:
        from fulfil.documents import document_file, sheets_of

        with ask.shop() as shop:
            sheets = sheets_of(shop, document, at=ask.at)
            with shop.reading() as books:
                pdf = document_file(books, sheets)
    made = pictures(pdf, dpi=dpi, pages=[page] if page else (), in_colour=in_colour)
    names = [out] if len(made) == 1 else [out.with_stem(f"{out.stem}-{i}") for i in range(1, len(made) + 1)]
    out.parent.mkdir(parents=True, exist_ok=True)
    for name, picture in zip(names, made, strict=True):
        write_whole(name, picture)
    return Answer([f"drawn {name}" for name in names], {"pictures": [str(name) for name in names]})


@command(papers, "text", "fulfil papers text day-report")
@click.argument("document", required=False, default="")
@click.option("--walk", type=WALK, default="", help="All papers of this walk.")
def text(ask: Ask, document: str, walk: str) -> Answer:
    """Says a paper in plain text for a screen reader, or with --json for programs.

    It is asked for as with 'fulfil papers show': by the number that stands on it, or by its name.
    """
    from fulfil.documents import sheets_of, sheets_of_walk
    from fulfil.errors import UnknownRefused
    from fulfil.papers import twin
    from fulfil.papers.sheet import Sheet

    if bool(document) == bool(walk):
        raise UnknownRefused("say", document or walk, "a document, or a walk with --walk, not both")
    with ask.shop() as shop:
        if walk:
            with shop.reading() as books:
                made = sheets_of_walk(books, walk)
            sheets: list[Sheet] = [made.pick_list, *made.bag_labels, made.checklist, made.cart_card]
        else:
            sheets = sheets_of(shop, document, at=ask.at)
    lines = "\n".join(twin.text(sheet) for sheet in sheets).splitlines()
    return Answer(lines, {"papers": [json.loads(twin.json_text(sheet)) for sheet in sheets]})


_PAGE = click.option("--paper", type=click.Choice(["A4", "Letter"]), default="A4", show_default=True, help="Page size.")


@command(papers, "sample", "fulfil papers sample --out samples")
@click.option("--out", type=click.Path(path_type=Path, file_okay=False), default=Path("samples"), help="Where they go.")
@_PAGE
@click.option(
    "--dpi", type=click.IntRange(100, 1200), default=300, show_default=True, help="Resolution of the printer."
)
def sample(ask: Ask, out: Path, paper: str, dpi: int) -> Answer:
    """Prints one of each paper with invented data, to choose settings by."""
    from fulfil_demo_catalog.samples.papers import sample_papers

    from fulfil.files.written import write_all
    from fulfil.records.settings import Paper

    made = sample_papers(page=Paper(paper), printer_dpi=dpi)
    written = write_all(out, {f"{name}.pdf": pdf for name, pdf in made.items()})
    return Answer(
        [f"{len(written)} papers in {out}, all data invented:", *[f"  {path.name}" for path in written]],
        {"papers": [str(path) for path in written]},
    )


@command(papers, "calibrate", "fulfil papers calibrate --out calibration.pdf")
@click.option(
    "--out", type=click.Path(path_type=Path, dir_okay=False), default=Path("calibration.pdf"), help="The file."
)
@_PAGE
def calibrate(ask: Ask, out: Path, paper: str) -> Answer:
    """Prints rulers, a ladder of bar codes and labels with frames: what printer and scanner can do."""
    from fulfil.files.written import write_whole
    from fulfil.papers.bench import calibration
    from fulfil.records.settings import Paper

    out.parent.mkdir(parents=True, exist_ok=True)
    write_whole(out, calibration.pdf(page=Paper(paper)))
    return Answer(
        [f"to print: {out}: page 1 for the office printer, then labels for the label printer"], {"papers": [str(out)]}
    )


@command(papers, "bins", "fulfil papers bins 04 05 --out papers")
@click.argument("aisles", nargs=-1, metavar="[AISLE]...")
@folder_option
@click.option("--on-sheets", is_flag=True, help="Many on an office page, to be cut.")
def bins(ask: Ask, aisles: tuple[str, ...], out: Path, on_sheets: bool) -> Answer:
    """Prints the labels of bins, one file an aisle; no AISLE means all."""
    from fulfil.shop.printing import print_sheets
    from fulfil.stock.bin_labels import labels_by_aisle

    with ask.shop() as shop, shop.reading() as books:
        settings = books.settings()
        labels = labels_by_aisle(books, aisles)
    written: list[Path] = []
    for aisle, sheets in labels.items():
        name = f"aisle-{aisle}-bin-labels"
        written += print_sheets(sheets, out, printer=settings, name=name, on_sheets=on_sheets)
    return Answer([f"to print: {path}" for path in written], {"papers": [str(path) for path in written]})


@command(papers, "translations", "fulfil papers translations --language pl")
@click.option("--language", default="", help="Of this language only, by its code (BCP 47).")
def translations(ask: Ask, language: str) -> Answer:
    """Lists the translations on customers' papers that no native speaker has reviewed yet."""
    from fulfil.papers.phrases import unreviewed

    found = [row for row in unreviewed() if language in ("", row[0])]
    facts = [{"language": code, "english": english, "words": words} for code, english, words in found]
    shown = table(found, ("language", "English", "words, unreviewed")) if found else ["Nothing waits for a review."]
    return Answer(shown, {"translations": facts})


_SIZES = ["60x40", "50x25", "105x148", "100x150", "102x152", "100x40"]


@command(papers, "print", "fulfil papers print W2603020001 --out papers")
@click.argument("document", metavar="DOCUMENT")
@folder_option
@click.option("--on", "printer", default="", help="This printer, instead of the one that the paper goes to.")
@click.option("--size", type=click.Choice(_SIZES), default=None, help="Size of labels, where no printer is set.")
def print_(ask: Ask, document: str, out: Path, printer: str, size: str | None) -> Answer:
    """Prints any paper by its number or name: on the printer that it goes to, else into the folder."""
    from fulfil.documents import sheets_of
    from fulfil.files.written import write_all
    from fulfil.papers.door import files
    from fulfil.papers.page import LabelSize
    from fulfil.papers.registry import paper_of
    from fulfil.records.equipment import PrinterRecord
    from fulfil.shop.printers import made_for, printer_for, printers_of
    from fulfil.shop.sending import send

    with ask.shop() as shop:
        sheets = sheets_of(shop, document, at=ask.at)
        with shop.reading() as books:
            settings = books.settings()
            named = books.need(PrinterRecord, printer) if printer else None
            goes_to = named or printer_for(paper_of(type(sheets[0])).file, printers_of(books))
    if goes_to is None or size is not None:
        asked = LabelSize(size) if size else None
        made = files(sheets, page=settings.paper, printer_dpi=settings.printer_dpi, size=asked)
        written = write_all(out, made)
        return Answer([f"to print: {path}" for path in written], {"papers": [str(path) for path in written]})
    printing = made_for(sheets, goes_to, page=settings.paper)
    (path,) = write_all(out, {printing.name: printing.content})
    return Answer([send(path, printing.goes_to)], {"papers": [str(path)], "printer": goes_to.name})
