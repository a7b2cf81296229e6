"""The routes. Thin: they decode, ask the ledger or the people, and encode; no arithmetic, no SQL."""
