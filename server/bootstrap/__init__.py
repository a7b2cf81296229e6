"""Set-up of a fresh clone, shared by `python3 server` and `python3 tests`. Standard library only."""
