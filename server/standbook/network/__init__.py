"""The shop's own network: its certificate authority, the server's certificate, addresses and name."""
