"""Five customers of the demo day who write their address in the script of their own town; people and streets invented.

Towns and post codes are real in shape, as in :mod:`fulfil_demo_catalog.generator.lands`: published address rules of
these countries list their towns. The name of a street says *example* or *sample* in its language, the person's says
*invented*. Egypt and Thailand send orders on the demo day alone.

>>> sorted(customer.land.code for customer in FAR_TOWNS.values())
['EG', 'IL', 'JP', 'KR', 'TH']
"""

from fulfil_demo_catalog.generator.lands import Land
from fulfil_demo_catalog.generator.people import Customer

FAR_TOWNS: dict[str, Customer] = {
    "person101@example.net": Customer(
        Land("JP", 0, "JPY", "81", "", ""),
        "見本 架空子", "", "例示町1-2-3", "大阪市北区", "530-0001", "大阪府", "+81 000 000 0101",
        "person101@example.net",
    ),
    "person286@example.com": Customer(
        Land("KR", 0, "USD", "82", "", ""),
        "가상인 286", "", "견본로 45", "종로구", "03051", "서울특별시", "+82 000 000 0286", "person286@example.com",
    ),
    "person242@example.org": Customer(
        Land("IL", 0, "USD", "972", "", ""),
        "לקוח בדוי 242", "", "רחוב הדוגמה 49", "חיפה", "3100000", "", "+972 000 000 0242", "person242@example.org",
    ),
    "person268@example.com": Customer(
        Land("EG", 0, "USD", "20", "", ""),
        "عميل خيالي 268", "", "76 شارع المثال", "مدينة نصر", "11511", "القاهرة", "+20 000 000 0268",
        "person268@example.com",
    ),
    "person264@example.net": Customer(
        Land("TH", 0, "USD", "66", "", ""),
        "ลูกค้า สมมติ 264", "", "41 ถนนตัวอย่าง", "เขตพระนคร", "10200", "กรุงเทพมหานคร", "+66 000 000 0264",
        "person264@example.net",
    ),
}  # fmt: skip
"""Who takes the place of which customer, by the mail address that stays."""
