"""Published standards, one module each; nothing here knows the shop.

Every module begins with the document it follows, examples of good and bad values that run, and its limits. The verbs
are the same everywhere:

``parse(text)``
    what a person typed or a scanner sent, spacing and case forgiven → the canonical value;
``validate(value)``
    the same value back if it is already canonical and right: for what is stored;
``check_…``
    computes the check digit or check value.

All three refuse with a sentence (`fulfil.errors.CodeRefused`) rather than return something doubtful. A right check
digit shows that a number was well copied, not that it was issued.
"""
