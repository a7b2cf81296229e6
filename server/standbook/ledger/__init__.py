"""The shop's book: one append-only table of entries, kept by the rules LG1 to LG14."""
