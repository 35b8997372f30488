"""Show the book in a browser, phone first, from this machine alone.

Pages are drawn on the server and work without script; what script adds is live.  `app` puts it together,
`desk` is what every page works at, `guard` decides who may come in.
"""
