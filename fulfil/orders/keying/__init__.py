"""An order keyed from the telephone, the post or the counter: question by question, each answer checked at once.

:mod:`~fulfil.orders.keying.questions` is what is asked, in which order (a script of
:mod:`fulfil.shop.conversation`), :mod:`~fulfil.orders.keying.answers` what an answer means,
:mod:`~fulfil.orders.keying.part_search` finds a part by words, :mod:`~fulfil.orders.keying.drafts` keeps what was
answered until the order is in. The door into the shop is :func:`fulfil.orders.importing.add_order`, as for every order.
"""
