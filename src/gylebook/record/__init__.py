"""Keep the book: what was planned, brewed and read, appended and never changed.

In:  texts and events from `tasks`. Out: frozen dataclasses; copies of the book; errors in a brewer's words.

`store` opens and makes books, `book` reads and writes one, `replay` says what stands, `backup` copies.
Nothing outside this room speaks SQL, and nothing inside it forecasts.
"""
