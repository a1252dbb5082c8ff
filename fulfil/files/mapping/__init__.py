"""Other people's tables read as ours: which of their columns is which of ours, guessed, kept and applied.

Start with :mod:`fulfil.files.mapping.mapping` (a kept mapping applied to a file) and
:mod:`fulfil.files.mapping.proposing` (a mapping proposed from headers and contents).
:mod:`~fulfil.files.mapping.header_words` knows the words of headers, in ``header_words.csv``;
:mod:`~fulfil.files.mapping.column_guesses` and :mod:`~fulfil.files.mapping.content` weigh what stands below them;
:mod:`~fulfil.files.mapping.number_signs` tells a decimal comma from a thousands comma;
:mod:`~fulfil.files.mapping.rejects` writes back what was not taken.

May be imported here: ``fulfil.files.rows``, ``columns`` and ``reading``, ``fulfil.records`` and below.
"""
