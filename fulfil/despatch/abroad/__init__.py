"""What leaves the customs territory: what is declared, on which form, and whether each package has its papers.

* :mod:`~fulfil.despatch.abroad.customs`: what a package's contents are declared as, from the books.
* :mod:`~fulfil.despatch.abroad.customs_sheets`: the sheets of CN 22, CN 23 and commercial invoice.
* :mod:`~fulfil.despatch.abroad.customs_papers`: printing them, and the same facts as files for programs.
* :mod:`~fulfil.despatch.abroad.papers_due`: which papers each package needs, which it has, which still fit.

Rules of the forms stand in :mod:`fulfil.standards` and :mod:`fulfil.shipping.customs`; here they meet the shop's books.
Local law decides: the papers say what the shop knows, a person signs them.
"""
