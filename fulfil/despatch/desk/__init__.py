"""The clerk's desk: what is to be done now, what customers are told, what the month came to.

* :mod:`~fulfil.despatch.desk.next_steps`: the steps between the last bag checked and the closed day, most urgent first.
* :mod:`~fulfil.despatch.desk.customer_messages`: a text for each customer whose packages have left.
* :mod:`~fulfil.despatch.desk.accounts`: a month's charges by service and country, and the goods by country.

Nothing here moves a package on; it reads the books and says what they say.
"""
