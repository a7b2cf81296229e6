"""What a client sees: routes, errors, sign-in, the built pages, the command line."""
