"""The ledger by its rules LG1 to LG12, each named in the tests that hold it."""
