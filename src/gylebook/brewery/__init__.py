"""Name the nouns: gear, instruments, ingredients, plans and readings, as frozen records that compute nothing."""
