"""A plan as a form: which fields there are, how they are shown, and what was sent back.

`fields` says what may be asked, `form` fills it in, `sent` reads what comes back, `shown` draws what
it gives.
"""
