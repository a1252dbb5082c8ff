"""The logistic label: a package label that also carries an SSCC, an S10 item number, or both.

>>> from fulfil.records.sheets.package_label import PackageLabelSheet
>>> label = PackageLabelSheet(package_number="PK000042", order_number="O-1001", service="Parcel",
...     from_lines=("The shop",), to_lines=("Test Person", "PORTUGAL"), package_no=1, packages=1, gross_g=None)
>>> LogisticLabelSheet(label=label, sscc="395200012300000425").item_number
''
"""

from dataclasses import dataclass

from fulfil.records.sheets.package_label import PackageLabelSheet


@dataclass(frozen=True, kw_only=True)
class LogisticLabelSheet:
    """What the label says: the package label's words, and the numbers; each is empty where there is none."""

    label: PackageLabelSheet
    sscc: str = ""
    item_number: str = ""
    post_code: str = ""
