"""Rules broken on purpose, one at a time, in a private copy of the sources: a named test has to notice each."""
