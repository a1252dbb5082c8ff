"""A small day whose orders come in their customers' own letters: Osaka, Seoul, Haifa, Cairo, Bangkok, Delhi.

The shop is a sailmaker's at a harbour (:mod:`tests.harbour_shop`); people and streets are invented.
"""

from functools import partial
from pathlib import Path

import pypdfium2

from fulfil.despatch.abroad.customs_papers import declare_order
from fulfil.despatch.package_papers import order_sheets
from fulfil.orders.importing import import_orders
from fulfil.shop.printing import print_papers
from tests.harbour_shop import DAY, NOW, WHO, check, open_harbour, pack, plan, release, ship, state_of

CITIES = {
    "OSA": ("サンプル 太郎", "例町1-2-3", "大阪市北区", "530-0000", "JP"),
    "SEL": ("홍길동", "견본로 12", "서울특별시 중구", "04500", "KR"),
    "HFA": ("שרה לדוגמה", "רחוב הדוגמה 5", "חיפה", "3100000", "IL"),
    "CAI": ("محمد مثال", "شارع المثال 12", "القاهرة", "11511", "EG"),
    "BKK": ("สมชาย ตัวอย่าง", "99/1 ถนนตัวอย่าง", "กรุงเทพมหานคร", "10200", "TH"),
    "DEL": ("राजेश उदाहरण", "12 नमूना मार्ग", "नई दिल्ली", "110001", "IN"),
}
HEAD = "order,received_at,source,name,street,city,post_code,country,service,part,pieces,unit_price,currency\n"


def said(path: Path) -> str:
    """The text of a file, without spaces."""
    document = pypdfium2.PdfDocument(str(path))
    found = "".join(page.get_textpage().get_text_range() for page in document)
    document.close()
    return "".join(found.split())


def test_a_day_in_seven_scripts(tmp_path: Path) -> None:
    """Every order is imported, picked, checked, packed and handed over; its label and list say its address."""
    path = tmp_path / "orders.csv"
    rows = [
        f"{number},2026-07-14T08:00:00+12:45,web,{name},{street},{city},{code},{country},AIR,CAM-7,2,1.20,NZD\n"
        for number, (name, street, city, code, country) in CITIES.items()
    ]
    path.write_text(HEAD + "".join(rows), encoding="utf-8")
    with open_harbour(tmp_path) as shop:
        done = import_orders(shop, path, **WHO)
        assert sorted(done.new) == sorted(CITIES)
        plan(shop)
        release(shop, tmp_path / "walks")
        for number in CITIES:
            check(shop, number)
            pack(shop, number)
            declare_order(shop, number, tmp_path / "customs", day=DAY, at=NOW, person="huia")
        for number, (name, street, city, code, _) in CITIES.items():
            papers = print_papers(shop, tmp_path / "orders", partial(order_sheets, number=number, day=DAY))
            assert len(papers) == 2
            for paper in papers:
                text = said(paper)
                assert all("".join(word.split()) in text for word in (name, street, city, code)), (paper.name, text)
        ship(shop, "AIR")
        assert {state_of(shop, number) for number in CITIES} == {"shipped"}
