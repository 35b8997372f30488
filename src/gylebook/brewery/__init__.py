"""Name the nouns: gear, instruments, ingredients, plans, readings; frozen records that compute nothing."""
