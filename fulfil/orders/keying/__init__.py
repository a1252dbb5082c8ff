"""An order keyed from the telephone, the post or the counter: question by question, each answer checked at once.

:mod:`~fulfil.orders.keying.questions` is what is asked, in which order (a script of
:mod:`fulfil.shop.conversation`), :mod:`~fulfil.orders.keying.answers` what an answer means,
:mod:`~fulfil.orders.keying.part_search` finds a part by words, and :mod:`~fulfil.orders.keying.taking` takes the order
in by the door of every order, :func:`fulfil.orders.importing.add_order`. What was answered is kept in
:mod:`fulfil.shop.drafts`.
"""
