"""Fifty countries of the customers (two more come with ``far_towns``), with what invented addresses there look like.

Post codes have the shape of their country, and provinces are real where an address there needs one; so are the towns
of Brazil, Hong Kong, South Korea, Taiwan and Singapore, where published address rules list all towns. No street is.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Land:
    """A country: its share of the customers, its currency and dialling code, and patterns with a place for a number."""

    code: str
    weight: float
    currency: str
    dial: str
    person: str
    street: str


LANDS = (
    Land("DE", 12, "EUR", "49", "Erfundene Person {n}", "Beispielstraße {h}"),
    Land("US", 11, "USD", "1", "Invented Person {n}", "{h} Sample St"),
    Land("GB", 9, "GBP", "44", "Invented Person {n}", "{h} Sample Street"),
    Land("FR", 7, "EUR", "33", "Personne Inventée {n}", "{h} rue de l’Exemple"),
    Land("JP", 4, "JPY", "81", "Invented Person {n}", "{h} Sample-cho"),
    Land("NL", 4, "EUR", "31", "Verzonnen Persoon {n}", "Voorbeeldstraat {h}"),
    Land("CH", 4, "EUR", "41", "Erfundene Person {n}", "Beispielgasse {h}"),
    Land("AT", 3, "EUR", "43", "Erfundene Person {n}", "Beispielgasse {h}"),
    Land("IT", 4, "EUR", "39", "Persona Inventata {n}", "Via Esempio {h}"),
    Land("ES", 3, "EUR", "34", "Persona Inventada {n}", "Calle Ejemplo {h}"),
    Land("PL", 3, "EUR", "48", "Wymyślona Osoba {n}", "ul. Przykładowa {h}"),
    Land("SE", 3, "EUR", "46", "Påhittad Person {n}", "Exempelvägen {h}"),
    Land("NO", 2, "EUR", "47", "Oppdiktet Person {n}", "Eksempelveien {h}"),
    Land("DK", 2, "EUR", "45", "Opfundet Person {n}", "Eksempelvej {h}"),
    Land("FI", 2, "EUR", "358", "Keksitty Henkilö {n}", "Esimerkkikatu {h}"),
    Land("BE", 3, "EUR", "32", "Personne Inventée {n}", "Rue de l’Exemple {h}"),
    Land("IE", 2, "EUR", "353", "Invented Person {n}", "{h} Sample Street"),
    Land("PT", 1, "EUR", "351", "Pessoa Inventada {n}", "Rua do Exemplo {h}"),
    Land("CZ", 2, "EUR", "420", "Vymyšlená Osoba {n}", "Příkladná {h}"),
    Land("SK", 1, "EUR", "421", "Vymyslená Osoba {n}", "Príkladná {h}"),
    Land("HU", 1, "EUR", "36", "Kitalált Személy {n}", "Példa utca {h}"),
    Land("RO", 1, "EUR", "40", "Persoană Inventată {n}", "Strada Exemplului {h}"),
    Land("BG", 1, "EUR", "359", "Измислен Клиент {n}", "ул. Примерна {h}"),
    Land("HR", 1, "EUR", "385", "Izmišljena Osoba {n}", "Ulica Primjera {h}"),
    Land("SI", 1, "EUR", "386", "Izmišljena Oseba {n}", "Primerova ulica {h}"),
    Land("EE", 1, "EUR", "372", "Väljamõeldud Isik {n}", "Näidise tee {h}"),
    Land("LV", 1, "EUR", "371", "Izdomāta Persona {n}", "Parauga iela {h}"),
    Land("LT", 1, "EUR", "370", "Išgalvotas Asmuo {n}", "Pavyzdžio g. {h}"),
    Land("GR", 2, "EUR", "30", "Επινοημένος Πελάτης {n}", "Οδός Παραδείγματος {h}"),
    Land("LU", 2, "EUR", "352", "Erfonnt Persoun {n}", "{h}, rue du Modèle"),
    Land("IS", 1, "EUR", "354", "Uppdiktuð Persóna {n}", "Dæmigata {h}"),
    Land("MT", 1, "EUR", "356", "Persuna Ivvintata {n}", "{h}, Triq l-Eżempju"),
    Land("CY", 1, "EUR", "357", "Επινοημένη Πελάτισσα {n}", "Οδός Υποδείγματος {h}"),
    Land("TR", 1, "EUR", "90", "Uydurma Kişi {n}", "Örnek Sokak No: {h}"),
    Land("IL", 1, "USD", "972", "Invented Person {n}", "{h} Sample Street"),
    Land("ZA", 1, "USD", "27", "Invented Person {n}", "{h} Sample Road"),
    Land("NA", 1, "USD", "264", "Invented Person {n}", "{h} Sample Street"),
    Land("BR", 2, "USD", "55", "Pessoa Inventada {n}", "Rua Exemplo {h}"),
    Land("AR", 1, "USD", "54", "Persona Inventada {n}", "Calle Ejemplo {h}"),
    Land("CL", 1, "USD", "56", "Persona Inventada {n}", "Calle Ejemplo {h}"),
    Land("MX", 1, "USD", "52", "Persona Inventada {n}", "Calle Ejemplo {h}"),
    Land("CA", 4, "USD", "1", "Invented Person {n}", "{h} Sample Ave"),
    Land("AU", 3, "USD", "61", "Invented Person {n}", "{h} Sample Street"),
    Land("NZ", 2, "USD", "64", "Invented Person {n}", "{h} Sample Street"),
    Land("SG", 1, "USD", "65", "Invented Person {n}", "{h} Sample Street"),
    Land("HK", 1, "USD", "852", "Invented Person {n}", "{h} Sample Street"),
    Land("KR", 1, "USD", "82", "Invented Person {n}", "{h} Sample-ro"),
    Land("TW", 1, "USD", "886", "Invented Person {n}", "{h} Sample Rd"),
    Land("UA", 1, "EUR", "380", "Вигаданий Покупець {n}", "вул. Зразкова {h}"),
    Land("KE", 1, "USD", "254", "Invented Person {n}", "{h} Sample Road"),
)

TOWNS = {
    "DE": (("Musterstadt", "10115", ""), ("Übungshausen", "01067", ""), ("Probeörtchen", "26133", "")),
    "US": (
        ("Sampleton", "95014", "CA"),
        ("Exampleville", "60601", "IL"),
        ("Testburg", "02108", "MA"),
        ("Port Pretend", "98101", "WA"),
    ),
    "GB": (("Sampleham", "M2 5BQ", ""), ("Exampleford", "M34 4AB", ""), ("Little Pretending", "EC1Y 8SY", "")),
    "FR": (("Exempleville", "75001", ""), ("Saint-Modèle", "33380", ""), ("Fictif-sur-Mer", "34092", "")),
    "JP": (("Mihon-ku", "154-0023", "Tokyo"), ("Mihon-shi", "350-1106", "Saitama")),
    "NL": (("Voorbeeldstad", "1234 AB", ""), ("Verzonnendam", "2490 AA", "")),
    "CH": (("Musterwil", "2544", ""), ("Exemplaz", "1211", "")),
    "AT": (("Musterdorf", "1010", ""), ("Übungstal", "3741", "")),
    "IT": (("Esempio", "00144", "RM"), ("Villa Finta", "20121", "MI")),
    "ES": (("Ejemplona", "28039", "M"), ("Ficción", "28300", "M")),
    "PL": (("Przykładów", "00-950", ""), ("Zmyślone Łąki", "48-300", "")),
    "SE": (("Exempelköping", "114 55", ""), ("Påhittsås", "123 45", "")),
    "NO": (("Eksempelbø", "0025", ""), ("Prøvefjord", "6631", "")),
    "DK": (("Eksempelkøbing", "8660", ""),),
    "FI": (("Esimerkkilä", "00550", ""),),
    "BE": (("Exemple", "4000", ""), ("Voorbeeldegem", "1000", "")),
    "IE": (("Ballysample", "A65 F4E2", "Co. Kildare"),),
    "PT": (("Exemplões", "2725-079", ""),),
    "CZ": (("Příkladov", "251 66", ""),),
    "SK": (("Príkladovce", "010 01", ""),),
    "HU": (("Példafő", "1037", ""),),
    "RO": (("Exemplești", "060274", ""),),
    "BG": (("Примерово", "1000", ""),),
    "HR": (("Primjerovac", "10000", ""),),
    "SI": (("Primerje", "4000", ""),),
    "EE": (("Näidise", "69501", ""),),
    "LV": (("Paraugciems", "LV-1073", ""),),
    "LT": (("Pavyzdžiai", "04340", ""),),
    "GR": (("Παράδειγμα", "151 24", ""), ("Δείγμα", "101 88", "")),
    "LU": (("Musterduerf", "4750", ""),),
    "IS": (("Dæmisvík", "320", ""),),
    "MT": (("Eżempju", "NXR 01", ""),),
    "CY": (("Υπόδειγμα", "2008", ""),),
    "TR": (("Örnekşehir", "01960", "Adana"),),
    "IL": (("Sample Town", "9614303", ""),),
    "ZA": (("Voorbeeldfontein", "0083", ""),),
    "NA": (("Sampleberg", "10001", ""),),
    "BR": (("Salvador", "40301-110", "BA"), ("São Paulo", "01310-100", "SP")),
    "AR": (("Villa Ejemplo", "C1070AAM", ""),),
    "CL": (("Ejemplo", "8340457", ""),),
    "MX": (("Ciudad Ejemplo", "02860", "CDMX"),),
    "CA": (("Sampleton", "H3Z 2Y7", "QC"), ("Pretend Falls", "V8X 3X4", "BC")),
    "AU": (("Sampleton", "2060", "NSW"), ("Pretend Creek", "3171", "VIC")),
    "NZ": (("Sampleton", "6001", ""),),
    "SG": (("Singapore", "546080", ""),),
    "HK": (("Mong Kok", "", "Kowloon"),),
    "KR": (("Jongno-gu", "03051", "Seoul"),),
    "TW": (("Zhongshan District", "104", "Taipei City"),),
    "UA": (("Зразкове", "15432", ""),),
    "KE": (("Sampleton", "20100", ""),),
}
"""Towns by country: name, post code, region."""
