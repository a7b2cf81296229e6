"""Metal: clearances, lash, growth."""
