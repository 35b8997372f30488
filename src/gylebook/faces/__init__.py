"""Show the answers: words, pictures, the command line, the printed sheet."""
