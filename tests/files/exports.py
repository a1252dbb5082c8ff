"""Twenty invented exports of orders in the habits of different lands, each with the truth that it was made from.

All orders, people and streets are invented; the words above the columns are quoted from memory. Every export has what
:func:`truth` says: three to five orders with their lines, pieces and prices. How a file writes it is its own.
"""

# ruff: noqa: E501, DTZ001 - rows are as wide as their files, times are local ones

import csv
import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from decimal import Decimal

import openpyxl

PARTS = ("BALL-3", "GEAR-12", "00123", "MAR03", "PIN-2X10")
SERVICES = {"POST": "Parcel post", "ROAD": "Road parcel"}


@dataclass(frozen=True)
class TrueOrder:
    """An order as it is, whoever writes it."""

    number: str
    at: datetime
    first: str
    last: str
    street: str
    house: str
    second: str
    post_code: str
    city: str
    country: str
    service: str
    lines: tuple[tuple[str, int, Decimal], ...]

    @property
    def name(self) -> str:
        """First and last name."""
        return f"{self.first} {self.last}"


@dataclass(frozen=True)
class Export:
    """A file: its name, its bytes, the truth in it, what a person must answer, what else is expected of it."""

    name: str
    raw: bytes
    orders: tuple[TrueOrder, ...]
    answers: dict[str, str] = field(default_factory=dict)
    currency: str = "EUR"
    street: Callable[[TrueOrder], str] = lambda one: f"{one.street} {one.house}"
    has_prices: bool = True
    time_zone: str = "Europe/Vienna"


def truth(
    people: Sequence[tuple[str, str, str, str, str, str, str]],
    *,
    prefix: str = "",
    country: str,
    at: datetime = datetime(2026, 3, 2, 8, 15),
    second: str = "",
) -> tuple[TrueOrder, ...]:
    """Orders of these people (first, last, street, house, post code, city, service)."""
    orders = []
    for place, (first, last, street, house, post_code, city, service) in enumerate(people):
        lines = tuple(
            (PARTS[(place + step) % len(PARTS)], 5 + 7 * place + 100 * step, Decimal(25 + 1310 * step + place) / 100)
            for step in range(1 + place % 3)
        )
        when = at + timedelta(days=4 * place, minutes=31 * place)
        orders.append(
            TrueOrder(f"{prefix}{1001 + place}", when, first, last, street, house, second if place == 1 else "",
                      post_code, city, country, service, lines)
        )  # fmt: skip
    return tuple(orders)


def table(
    header: Sequence[str], rows: Sequence[Sequence[object]], delimiter: str, encoding: str, **how: object
) -> bytes:
    """CSV as bytes."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=delimiter, **how)  # type: ignore[arg-type]
    writer.writerow(header)
    writer.writerows(rows)
    return out.getvalue().encode(encoding)


def comma(amount: Decimal) -> str:
    """1310.25 as 1.310,25."""
    return f"{amount:,.2f}".replace(",", "x").replace(".", ",").replace("x", ".")


def by_line(
    orders: Sequence[TrueOrder], cells: Callable[[TrueOrder, str, int, Decimal], Sequence[object]]
) -> list[Sequence[object]]:
    """A row a line."""
    return [cells(order, *line) for order in orders for line in order.lines]


DE = truth([("Erika", "Beispiel", "Musterstraße", "1a", "10115", "Berlin", "POST"),
            ("Jürgen", "Erfunden", "Größenweg", "2", "80331", "München", "ROAD"),
            ("Zoë", "Probe", "Teststraße", "30", "50667", "Köln", "POST")], country="DE", second="Hinterhaus")  # fmt: skip
FR = truth([("Élodie", "Exemple", "rue du Château", "12", "30000", "Nîmes", "POST"),
            ("Benoît", "Fictif", "avenue Inventée", "3", "75001", "Paris", "POST"),
            ("Chloé", "Modèle", "allée Neuve", "8", "69001", "Lyon", "ROAD")], country="FR", prefix="FR")  # fmt: skip
ES = truth([("Íñigo", "Ejemplo", "Calle Inventada", "5", "28001", "Madrid", "POST"),
            ("Begoña", "Ficticia", "Calle Muñoz", "7", "41001", "Sevilla", "ROAD")], country="ES")  # fmt: skip
IT = truth([("Nicolò", "Esempio", "Via Inventata", "4", "00118", "Roma", "POST"),
            ("Chiara", "Finta", "Via della Libertà", "9", "20121", "Milano", "ROAD"),
            ("Ugo", "Prova", "Corso Finto", "2", "10121", "Torino", "POST")], country="IT")  # fmt: skip
NL = truth([("Anouk", "Voorbeeld", "Verzonnenstraat", "6", "1011 AB", "Amsterdam", "POST"),
            ("Daan", "Bedacht", "Proefweg", "11", "3511 CD", "Utrecht", "ROAD")], country="NL")  # fmt: skip
PL = truth([("Łukasz", "Przykład", "ul. Żółta", "5", "00-001", "Warszawa", "POST"),
            ("Małgorzata", "Zmyślona", "ul. Próbna", "8", "30-001", "Kraków", "ROAD")], country="PL")  # fmt: skip
CZ = truth([("Jiří", "Příklad", "Vymyšlená", "15", "110 00", "Praha", "POST"),
            ("Božena", "Smyšlená", "Zkušební", "3", "602 00", "Brno", "ROAD")], country="CZ")  # fmt: skip
RU = truth([("Пример", "Примеров", "Улица Образцовая", "7", "101000", "Москва", "POST"),
            ("Анна", "Выдуманная", "Улица Новая", "12", "190000", "Санкт-Петербург", "POST")], country="RU")  # fmt: skip
US = truth([("Jane", "Invented", "100 Sample Street", "", "02134", "Boston", "POST"),
            ("Max", "Example", "7 Made-up Road", "", "94043", "Mountain View", "ROAD"),
            ("Ann", "Fiction", "9 Nowhere Lane", "", "10001", "New York", "POST")], country="US", second="Apt 4",
           at=datetime(2026, 3, 2, 14, 5))  # fmt: skip
GB = truth([("Prudence", "Madeup", "1 Sample Lane", "", "SW1A 1AA", "London", "POST"),
            ("Basil", "Untrue", "22 Nowhere Road", "", "EH1 1AA", "Edinburgh", "ROAD")], country="GB",
           at=datetime(2026, 3, 2, 9, 0))  # fmt: skip
SE = truth([("Åsa", "Exempel", "Påhittsgatan", "4", "111 22", "Stockholm", "POST"),
            ("Björn", "Uppdiktad", "Provvägen", "9", "411 01", "Göteborg", "ROAD")], country="SE")  # fmt: skip
TR = truth([("Ayşe", "Örnek", "Uydurma Sokağı", "3", "34000", "İstanbul", "POST"),
            ("Işık", "Deneme", "Çiçek Sokağı", "8", "06000", "Ankara", "ROAD")], country="TR")  # fmt: skip
GR = truth([("Άννα", "Παράδειγμα", "Οδός Δοκιμής", "5", "105 57", "Αθήνα", "POST"),
            ("Νίκος", "Φανταστικός", "Οδός Νέα", "8", "546 24", "Θεσσαλονίκη", "ROAD")], country="GR")  # fmt: skip
HU = truth([("Ágnes", "Példa", "Kitalált utca", "5", "1011", "Budapest", "POST"),
            ("Győző", "Minta", "Próba utca", "8", "6720", "Szeged", "ROAD")], country="HU")  # fmt: skip
BR = truth([("João", "Exemplo", "Rua Inventada", "10", "01000-000", "São Paulo", "POST"),
            ("Conceição", "Fictícia", "Rua Nova", "22", "20000-000", "Rio de Janeiro", "ROAD")], country="BR")  # fmt: skip
MIXED = (
    TrueOrder("X1", datetime(2026, 3, 2, 8, 0), "Test", "Person", "Musterweg", "1", "", "8001", "Zürich", "CH", "POST",
              (("BALL-3", 5, Decimal("0.25")),)),
    TrueOrder("X2", datetime(2026, 3, 14, 8, 0), "Test", "Other", "Rue 1", "2", "", "L-1234", "Luxembourg", "LU", "ROAD",
              (("00123", 7, Decimal("1.50")), ("GEAR-12", 2, Decimal("13.10")))),
    TrueOrder("X3", datetime(2026, 3, 15, 8, 0), "Test", "Third", "Sample Road", "3", "", "EH1 1AA", "Edinburgh", "GB",
              "POST", (("MAR03", 1, Decimal("2.00")),)),
)  # fmt: skip


def workbook(header: Sequence[str], rows: Sequence[Sequence[object]]) -> bytes:
    """A workbook with a title above its table, as people make them."""
    book = openpyxl.Workbook()
    book.active.append(["Orders of the invented shop"])
    book.active.append([])
    book.active.append(list(header))
    for row in rows:
        book.active.append(list(row))
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def exports() -> list[Export]:
    """All of them."""
    said = {"POST": "Standard", "ROAD": "Spedition"}
    return [
        Export("de-semicolon-cp1252.csv", table(
            ("Bestellnummer", "Bestelldatum", "Vorname", "Nachname", "Straße", "Hausnr.", "Adresszusatz", "PLZ", "Ort", "Land",
             "Versandart", "Artikelnr.", "Bezeichnung", "Menge", "Einzelpreis", "Summe"),
            [*by_line(DE, lambda o, part, n, price: (
                o.number, o.at.strftime("%d.%m.%Y %H:%M"), o.first, o.last, o.street, o.house, o.second, o.post_code,
                o.city, "Deutschland", said[o.service], part, "Teil; erfunden", n, comma(price), comma(n * price))),
             ("Gesamt", *[""] * 14, "1.234,00")], ";", "cp1252"),
            DE, {"word standard": "POST", "word spedition": "ROAD"},
            street=lambda o: f"{o.street} {o.house}" + (f", {o.second}" if o.second else "")),
        Export("fr-semicolon-utf8-bom.csv", table(
            ("N° commande", "Date de commande", "Nom complet", "Adresse", "Code postal", "Ville", "Pays", "Livraison",
             "Référence", "Qté", "Prix unitaire (€)"),
            by_line(FR, lambda o, part, n, price: (
                o.number, o.at.strftime("%d/%m/%Y %H:%M"), o.name, f"{o.street} {o.house}", o.post_code, o.city, "France",
                SERVICES[o.service], part, n, f"{comma(price)} €")), ";", "utf-8-sig"),
            FR, {"date": "day"}),
        Export("es-tab-latin1.txt", table(
            ("Nº pedido", "Fecha", "Nombre", "Apellidos", "Dirección", "Código postal", "Ciudad", "País", "Envío",
             "Código", "Cantidad", "Precio"),
            by_line(ES, lambda o, part, n, price: (
                o.number, o.at.strftime("%d-%m-%Y"), o.first, o.last, f"{o.street} {o.house}", o.post_code, o.city, "España",
                o.service.lower(), part, n, comma(price))), "\t", "latin-1"),
            ES, {"date": "day"}),
        Export("it-semicolon-blank-below.csv", table(
            ("Numero ordine", "Data ordine", "Destinatario", "Indirizzo", "CAP", "Comune", "Nazione", "Spedizione",
             "Codice articolo", "Quantità", "Prezzo"),
            [(o.number if first else "", o.at.strftime("%d/%m/%Y") if first else "", o.name if first else "",
              f"{o.street} {o.house}" if first else "", o.post_code if first else "", o.city if first else "",
              "Italia" if first else "", o.service if first else "", part, n, comma(price))
             for o in IT for first, (part, n, price) in zip((True, False, False), o.lines, strict=False)], ";", "utf-8"),
            IT, {"date": "day"}),
        Export("nl-item-list.csv", table(
            ("Bestelnummer", "Besteldatum", "Klant", "Straat", "Huisnummer", "Postcode", "Plaats", "Land", "Verzending",
             "Producten"),
            [(o.number, o.at.strftime("%d-%m-%Y %H:%M"), o.name, o.street, o.house, o.post_code, o.city, "Nederland",
              o.service, "; ".join(f"{n} x {part}" for part, n, _ in o.lines)) for o in NL], ",", "utf-8"),
            NL, {"date": "day"}, has_prices=False),
        Export("pl-semicolon-cp1250.csv", table(
            ("Nr zamówienia", "Data zamówienia", "Imię", "Nazwisko", "Ulica", "Kod pocztowy", "Miasto", "Kraj",
             "Sposób dostawy", "Kod", "Ilość", "Cena"),
            by_line(PL, lambda o, part, n, price: (
                o.number, o.at.strftime("%Y-%m-%d %H:%M:%S"), o.first, o.last, f"{o.street} {o.house}", o.post_code, o.city,
                "Polska", SERVICES[o.service], part, n, f"{comma(price)} zł")), ";", "cp1250"),
            PL, {}, currency="PLN"),
        Export("cz-utf16.csv", table(
            ("Číslo objednávky", "Datum", "Jméno", "Příjmení", "Ulice", "Č.p.", "Město", "PSČ", "Stát", "Doprava",
             "Kód zboží", "Množství", "Cena (Kč)"),
            by_line(CZ, lambda o, part, n, price: (
                o.number, f"{o.at:%d}. {o.at:%m}. {o.at:%Y}", o.first, o.last, o.street, o.house, o.city, o.post_code, "Česko",
                o.service, part, n, comma(price))), "\t", "utf-16"),
            CZ, {}, currency="CZK"),
        Export("ru-cp1251.csv", table(
            ("Номер заказа", "Дата заказа", "Получатель", "Адрес", "Индекс", "Город", "Страна", "Артикул", "Кол-во", "Цена"),
            by_line(RU, lambda o, part, n, price: (
                o.number, o.at.strftime("%d.%m.%Y"), o.name, f"{o.street} {o.house}", o.post_code, o.city, "Россия", part, n,
                comma(price))), ";", "cp1251"),
            RU, {"service": "POST"}),
        Export("us-comma.csv", table(
            ("Order ID", "Created at", "Billing Name", "Ship To Name", "Shipping Address 1", "Shipping Address 2",
             "Shipping City", "Shipping Zip", "Shipping Country", "Shipping Method", "Item Number", "Quantity", "Price"),
            by_line(US, lambda o, part, n, price: (
                o.number, o.at.strftime("%m/%d/%Y %I:%M %p"), "Somebody Paying", o.name, o.street, o.second, o.city,
                o.post_code, "USA", SERVICES[o.service], part, n, f"${price:,.2f}")), ",", "utf-8"),
            US, {"date": "month", "currency": "USD"}, currency="USD",
            street=lambda o: o.street + (f", {o.second}" if o.second else "")),
        Export("gb-comma-quoted.csv", table(
            ("Order no.", "Order date", "Name", "Address line 1", "Town", "Postcode", "Country", "Delivery method", "Code", "Qty",
             "Unit price"),
            by_line(GB, lambda o, part, n, price: (
                o.number, o.at.strftime("%d/%m/%Y %H:%M"), o.name, o.street, o.city, o.post_code, "UK", o.service, part, n,
                f"£{price:.2f}")), ",", "utf-8", quoting=csv.QUOTE_ALL),
            GB, {"date": "day"}, currency="GBP", street=lambda o: o.street),
        Export("se-sep-line.csv", b"sep=;\r\n" + table(
            ("Ordernummer", "Orderdatum", "Namn", "Gatuadress", "Postnr", "Postort", "Land", "Leveranssätt", "Artikelnummer",
             "Antal", "Styckpris"),
            by_line(SE, lambda o, part, n, price: (
                o.number, o.at.isoformat(sep=" "), o.name, f"{o.street} {o.house}", o.post_code, o.city, "Sverige", o.service,
                part, n, comma(price).replace(".", "\u00a0"))), ";", "utf-8"),
            SE),
        Export("tr-cp1254.csv", table(
            ("Sipariş No", "Tarih", "Ad Soyad", "Adres", "Posta kodu", "Şehir", "Ülke", "Kargo", "Ürün kodu", "Adet",
             "Birim fiyat"),
            by_line(TR, lambda o, part, n, price: (
                o.number, o.at.strftime("%d.%m.%Y %H:%M:%S"), o.name, f"{o.street} {o.house}", o.post_code, o.city, "Türkiye",
                o.service, part, n, comma(price))), ";", "cp1254"),
            TR),
        Export("gr-cp1253.csv", table(
            ("Αριθμός παραγγελίας", "Ημερομηνία", "Ονοματεπώνυμο", "Διεύθυνση", "Τ.Κ.", "Πόλη", "Χώρα", "Αποστολή",
             "Κωδικός", "Ποσότητα", "Τιμή"),
            by_line(GR, lambda o, part, n, price: (
                o.number, o.at.strftime("%d/%m/%Y"), o.name, f"{o.street} {o.house}", o.post_code, o.city, "Ελλάδα", o.service,
                part, n, comma(price))), ";", "cp1253"),
            GR, {"date": "day"}),
        Export("hu-dots.csv", table(
            ("Rendelésszám", "Dátum", "Vevő neve", "Cím", "Irányítószám", "Város", "Ország", "Szállítási mód", "Cikkszám",
             "Mennyiség", "Egységár"),
            by_line(HU, lambda o, part, n, price: (
                o.number, o.at.strftime("%Y. %m. %d."), o.name, f"{o.street} {o.house}", o.post_code, o.city, "Magyarország",
                o.service, part, n, comma(price))), ";", "utf-8"),
            HU),
        Export("br-bars.txt", table(
            ("Nº do pedido", "Data do pedido", "Destinatário", "Endereço", "Número", "CEP", "Cidade", "País",
             "Forma de envio", "Referência", "Qtd", "Preço"),
            by_line(BR, lambda o, part, n, price: (
                o.number, o.at.strftime("%d/%m/%Y"), o.name, o.street, o.house, o.post_code, o.city, "Brasil", o.service, part, n,
                f"R$ {comma(price)}")), "|", "utf-8"),
            BR, {"date": "day"}, currency="BRL"),
        Export("workbook-named.csv", workbook(
            ("Order number", "Date", "Customer", "Street", "City", "Postcode", "Country", "Service", "Part", "Pieces", "Price"),
            by_line(MIXED, lambda o, part, n, price: (
                o.number, o.at, o.name, f"{o.street} {o.house}", o.city, o.post_code,
                {"CH": "Schweiz", "LU": "Luxemburg", "GB": "Scotland"}[o.country], o.service, part, n, float(price)))),
            MIXED),
        Export("numbered-columns.csv", table(
            ("Order", "Date", "Name", "Address", "City", "Zip", "Country", "Shipping", "Item 1", "Qty 1", "Price 1", "Item 2",
             "Qty 2", "Price 2", "Item 3", "Qty 3", "Price 3"),
            [(o.number, o.at.isoformat(), o.name, o.street, o.city, o.post_code, "United States", o.service,
              *[cell for part, n, price in o.lines for cell in (part, n, price)],
              *[""] * (9 - 3 * len(o.lines))) for o in US], ",", "utf-8"),
            US, street=lambda o: o.street),
        Export("no-country-no-service.csv", table(
            ("Nr", "Datum", "Name", "Straße und Hausnummer", "PLZ", "Ort", "Teilenummer", "Stückzahl", "Preis EUR"),
            by_line(DE, lambda o, part, n, price: (
                o.number, o.at.strftime("%d.%m.%y"), o.name, f"{o.street} {o.house}", o.post_code, o.city, part, n,
                comma(price))), ";", "utf-8"),
            tuple(TrueOrder(**(vars(o) | {"service": "POST"})) for o in DE), {"service": "POST", "country": "Deutschland"}),
        Export("single-quotes.csv", table(
            ("order_id", "created", "first_name", "last_name", "street_address", "city", "postal_code", "country_code",
             "shipping", "sku_of_theirs", "qty", "unit_price"),
            by_line(GB, lambda o, part, n, price: (
                o.number, o.at.isoformat(), o.first, o.last, o.street, o.city, o.post_code, "gb", o.service, part, n,
                f"{price:,.2f}")), ",", "utf-8", quotechar="'", quoting=csv.QUOTE_ALL),
            GB, street=lambda o: o.street),
        Export("list-with-prices.csv", table(
            ("Commande", "Date commande", "Prénom", "Nom", "Rue", "CP", "Ville", "Pays", "Transport", "Articles", "Total TTC"),
            [(o.number, o.at.strftime("%d.%m.%Y"), o.first, o.last, f"{o.street} {o.house}", o.post_code, o.city, "FR",
              o.service, "|".join(f"{n} x {part} @ {comma(price)}" for part, n, price in o.lines), "") for o in FR],
            ";", "utf-8-sig"),
            FR),
    ]  # fmt: skip
