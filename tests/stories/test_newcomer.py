"""A newcomer's first evening: an own shop of twenty parts, from a spreadsheet to the first released walk.

Nothing but README's words: every command is typed as its section has it, every question is answered in the newcomer's
own words (a French spreadsheet and export, a shop in Canada, decimal commas, Latin-1), mistakes included.
"""

import json
import re
import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from fulfil_cli.main import main

from fulfil.records.order import Order
from fulfil.records.part import Part
from fulfil.records.pieces import Owed, OwedBalance
from fulfil.records.place import Bin
from fulfil.records.plan import Bag
from fulfil.store.shop import open_shop

README = Path(__file__).parents[2] / "README.md"
MOST_COMMANDS = 25
AT = "2026-03-16T08:00-04:00"

SHEET = """\
Référence;Désignation;Famille;Longueur (mm);Poids (g);Prix unitaire;Fournisseur;Stock
PIT-06;Piton à œil 6 mm;piton;18;0,92;0,12;Quincaillerie Exemple;640
PIT-08;Piton à œil 8 mm;piton;24;1,64;0,15;Quincaillerie Exemple;410
PIT-10;Piton à œil 10 mm;piton;30;2,71;0,19;Quincaillerie Exemple;220
CRO-12;Crochet laiton 12 mm;crochet;14;0,78;0,22;Quincaillerie Exemple;300
CRO-20;Crochet laiton 20 mm;crochet;22;1,95;0,31;Quincaillerie Exemple;180
ANN-05;Anneau brisé 5 mm;anneau;6;0,11;0,06;Fil & Fer Exemple;1200
ANN-10;Anneau brisé 10 mm;anneau;11;0,48;0,08;Fil & Fer Exemple;900
ROT-S;Rotule bois petite;rotule;16;1,35;0,95;;150
ROT-M;Rotule bois moyenne;rotule;22;3,40;1,10;;120
ROT-G;Rotule bois grande;rotule;30;8,20;1,45;;60
MAIN-G;Main gauche tilleul;main;42;6,10;4,80;;35
MAIN-D;Main droite tilleul;main;42;6,10;4,80;;35
PIED-P;Paire de pieds;pied;55;21,50;8,20;;24
CTRL-1;Croix d'attelle simple;attelle;240;96;14,50;;18
CTRL-2;Croix d'attelle double;attelle;280;142;19,00;;9
FIL-NO;Fil noir 10 m;fil;60;8,90;3,20;Fil & Fer Exemple;75
FIL-BL;Fil blanc 10 m;fil;60;8,90;3,20;Fil & Fer Exemple;70
LEST-5;Lest rond 5 g;lest;10;5,02;0,40;Fil & Fer Exemple;500
LEST-10;Lest rond 10 g;lest;13;10,05;0,60;Fil & Fer Exemple;260
YEUX-8;Yeux de verre 8 mm;yeux;8;0,70;1,90;Verrerie Exemple;90
"""
"""Invented parts for puppet makers, as their owner keeps them; written as Latin-1."""
HEAD = "Commande;Date;Client;Adresse;Complément;Ville;Code postal;Province;Pays;Article;Quantité;Livraison\n"
ORDERS = [
    (5001 + place, f"{14 + place // 10}/03/2026 09:{10 + place}", f"Client Exemple {place + 1}", second, part, n, by)
    for place, (second, part, n, by) in enumerate(
        [("", "PIT-06", 40, "Colis express"), ("app. 4", "ANN-05", 200, "Poste"), ("", "YEUX-8", 2, "Poste"),
         ("", "CTRL-2", 12, "Colis express"), ("", "ROT-S", 12, "Poste"), ("", "LEST-5", 30, "Poste"),
         ("bur. 2", "FIL-NO", 3, "Colis express"), ("", "MAIN-G", 2, "Poste"), ("", "MAIN-D", 2, "Poste"),
         ("", "PIED-P", 1, "Colis express"), ("", "CRO-12", 60, "Poste"), ("", "CRO-20", 25, "Poste"),
         ("", "ANN-10", 100, "Poste"), ("", "LEST-10", 10, "Colis express")]
    )
]  # fmt: skip
"""Fourteen orders; the fourth wants more crosses than there are."""
EXPORT = HEAD + "".join(
    f"{no};{at};{who};12 rue Modèle;{second};Ville-Modèle;H3Z 2Y7;QC;Canada;{part};{pieces};{by}\n"
    for no, at, who, second, part, pieces, by in ORDERS
)
SHOP = """\
Atelier Polichinelle (fictif)
Kanada
5 rue de l'Exemple
H3Z 2Y7
Ville-Modèle
québec
+1 514 555 0100

Torronto
Toronto

a4
FINE
deux
II
0,01 g
0,001 g
220 g
0,2 g

COLIS
III
5 g

30 kg
100 g
packages

SACHET
60 x 80
12,4/20
150 g
GRAND
100 x 150 mm
1,9 g
400 g
CROIX
30 x 40 cm
9,1 g
800 g

BOITE
30 x 20 x 12 cm
180 g
5 kg

EXPRESS
Colis express (fictif)

all
16:30
30 kg
POSTE
Poste (fictive)
postal

14h
2 kg

3
2,4 m
4
900 mm
2
1
nowhere.csv
pieces.csv



"""
"""Answers to what is asked, with three mistakes: a town misspelt, a class in words, a file that isn't there."""
CALL = """\
Mme Exemple, Téléphone

Canada
7 rue Modèle
H3Z 2Y7
Ville-Modèle
QC
+1 514 555 0101

EXPRESS
piton 8
25
YEUX-8
1

pas de glaces, fragile


line 2
2

"""
TYPED = {"shop start": SHOP, "orders map": "EXPRESS\n", "orders add": CALL}
"""What is typed into a command that asks."""


def commands() -> list[str]:
    """The commands of README's section, comments left out."""
    found = re.search(r"<!-- the first evening -->\n```sh\n(.*?)```\n<!-- end -->", README.read_text("utf-8"), re.S)
    assert found is not None
    return [line.partition("  #")[0].strip() for line in found[1].splitlines() if line.strip()]


@pytest.fixture
def said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> dict[str, Result]:
    """The newcomer's evening, command by command."""
    monkeypatch.chdir(tmp_path)
    Path("pieces.csv").write_text(SHEET, encoding="cp1252")
    Path("export.csv").write_text(EXPORT, encoding="utf-8")
    ran = {}
    for line in commands():
        words = shlex.split(line)
        if words[0] == "export":
            for one in words[1:]:
                monkeypatch.setenv(*one.split("=", 1))
            continue
        noun_verb = " ".join(words[1:3])
        ran[noun_verb] = CliRunner().invoke(
            main, [*words[1:], "--at", AT, "--json"], input=TYPED.get(noun_verb, ""), catch_exceptions=False
        )
    return ran


def test_from_a_spreadsheet_to_the_first_released_walk(said: dict[str, Result], tmp_path: Path) -> None:
    """At most 25 commands; every part has a bin, every order is on a walk or named as short; the walk is on paper."""
    assert len(said) <= MOST_COMMANDS
    for name, ran in said.items():
        assert ran.exit_code in ((0, 1) if name in ("walks plan", "shop check") else (0,)), (name, ran.output)
    answers = {name: json.loads(ran.stdout) for name, ran in said.items()}

    assert answers["orders import"]["new"] == [str(no) for no, *_ in ORDERS]
    assert {step["state"] for step in answers["shop check"]["steps"]} <= {"works", "works in part"}
    papers = [Path(path) for path in answers["walks release"]["papers"]]
    assert any(path.name.endswith("pick-list.pdf") for path in papers)
    assert all(path.read_bytes().startswith(b"%PDF") for path in papers)
    with open_shop(tmp_path / "my-shop.sqlite") as shop, shop.reading() as books:
        keyed = answers["orders add"]["order"]
        assert books.need(Order, keyed).phone == "+1 514 555 0101"
        assert len(books.find(Part)) == 20
        assert {place.part_number for place in books.find(Bin)} == {part.number for part in books.find(Part)}
        bagged = {bag.order_number for bag in books.find(Bag)}
        assert bagged == {str(no) for no, *_ in ORDERS} | {keyed}
        short = books.find(OwedBalance, place=Owed.SHORT)
        assert [(one.part_number, one.pieces) for one in short] == [("CTRL-2", 12 - 9)]


def test_each_mistake_is_said_and_asked_again(said: dict[str, Result]) -> None:
    """The newcomer reads why, and what was expected."""
    for words in ("Cannot find the time zone 'Torronto'", "Cannot read the class 'deux': expected I, II, III or IIII",
                  "Cannot read the file 'nowhere.csv'"):  # fmt: skip
        assert words in said["shop start"].stderr
    assert "'Désignation' is read as description" in said["shop start"].stderr
    assert "PIT-08  Piton à œil 8 mm, CAD 0.15 a piece, 410 free of 410" in said["orders add"].stderr
    assert "together CAD 5.65" in said["orders add"].stderr
    assert "together CAD 7.55" in said["orders add"].stderr


def test_the_files_stay_the_source(said: dict[str, Result], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A price is corrected in parts.csv and comes in; starting again asks nothing and changes nothing."""
    path = tmp_path / "my-catalogue" / "parts.csv"
    path.write_text(path.read_text("utf-8").replace(",4.80,", ",5.10,"), encoding="utf-8")
    done = CliRunner().invoke(main, ["catalogue", "import", "my-catalogue", "--at", AT, "--json"])
    assert json.loads(done.stdout)["counts"]["parts"]["changed"] == 2

    again = CliRunner().invoke(main, ["shop", "start", "my-catalogue", "--at", AT, "--json"], input="\n")
    assert (again.exit_code, json.loads(again.stdout)["files"]) == (0, [])
    assert "Enter writes nothing: every file is there." in again.stderr


@pytest.mark.parametrize(
    ("after", "how"), [(1, EOFError), (9, KeyboardInterrupt), (17, EOFError), (30, KeyboardInterrupt)]
)
def test_an_evening_that_was_broken_off_goes_on_where_it_was(
    after: int, how: type[BaseException], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Ctrl-C, or the line breaks: nothing is written yet; the same command asks for what is missing, and no more."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("FULFIL_SHOP", "my-shop.sqlite")
    Path("pieces.csv").write_text(SHEET, encoding="cp1252")
    given = SHOP.splitlines()
    start = ["shop", "start", "my-catalogue", "--at", AT]
    left = iter(given[:after])

    def typed(*_: object) -> str:
        for line in left:
            return line
        raise how

    with monkeypatch.context() as patched:
        patched.setattr("builtins.input", typed)
        broken = CliRunner().invoke(main, start, catch_exceptions=False)
    assert (broken.exit_code, "Go on: fulfil shop start my-catalogue" in broken.output) == (1, True), broken.output
    assert not list(Path().glob("my-catalogue/*.csv"))
    whole = CliRunner().invoke(main, start, input="\n".join(given[after:]) + "\n", catch_exceptions=False)
    assert whole.exit_code == 0, whole.output
    assert "What is the shop called?" not in whole.stderr
    with open_shop(tmp_path / "my-shop.sqlite") as shop, shop.reading() as books:
        assert len(books.find(Part)) == 20
        assert books.settings().shop_name == given[0]
